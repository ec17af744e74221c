//! stub
use std::cmp::Ordering;
pub struct Scale {
    n: &'static str,
    g: Vec<&'static str>,
}
static S: std::sync::LazyLock<Vec<Scale>> = std::sync::LazyLock::new(|| {
    vec![
        Scale {
            n: "hp1-face",
            g: vec!["AA", "A", "B"],
        },
        Scale {
            n: "hp1",
            g: vec!["A-1", "B-2"],
        },
        Scale {
            n: "nhla",
            g: vec!["FAS", "1C"],
        },
    ]
});
impl Scale {
    pub fn name(&self) -> &'static str {
        self.n
    }
    pub fn grade(&self, t: &str) -> Option<&'static str> {
        self.g.iter().copied().find(|x| *x == t)
    }
    pub fn names(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.g.iter().copied()
    }
    pub fn compare(&self, a: &str, b: &str) -> Option<Ordering> {
        let p = |t: &str| self.g.iter().position(|x| *x == t);
        Some(p(b)?.cmp(&p(a)?))
    }
}
pub fn scale(t: &str) -> Option<&'static Scale> {
    S.iter().find(|s| s.n == t)
}
pub fn near_scale(_: &str) -> Option<&'static str> {
    None
}
pub fn scale_names() -> impl Iterator<Item = &'static str> {
    S.iter().map(|s| s.n)
}
