//! How many leaves a face needs. Does not know how leaves are matched beyond whether the joint lies on the centre line.

use crate::model::length::Length;

/// Returns how many leaves of a usable width cover a face: the face's width over the leaf's, rounded up, and made even
/// where a joint has to lie on the centre line. `None` where a width is not above zero, or the count is senseless.
///
/// A 48 in face of leaves with 9 in usable needs 6 (5 1/3 rounded up); 45 in needs 5, and 6 for a centre match.
pub fn leaves_for_face(face: Length, usable: Length, centre: bool) -> Option<u32> {
    if face <= Length::ZERO || usable <= Length::ZERO {
        return None;
    }
    let whole = face.nm() / usable.nm() + i64::from(face.nm() % usable.nm() > 0);
    let even = if centre {
        whole.checked_add(whole % 2)?
    } else {
        whole
    };
    u32::try_from(even).ok()
}
