//! stub
use crate::model::length::Length;
#[derive(Debug, Clone, Copy)]
pub struct Tolerance {
    pub face_under: Length,
    pub face_over: Length,
    pub thickness_under: Length,
    pub thickness_over: Length,
}
pub fn named(_n: &str) -> Option<&'static Tolerance> {
    None
}
pub fn names() -> impl Iterator<Item = &'static str> {
    [].into_iter()
}
