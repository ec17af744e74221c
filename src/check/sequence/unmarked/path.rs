//! The shortest way through all points: exact for few, by search for many. Knows nothing of leaves.

use crate::check::sequence::unmarked::EXACT;

/// Returns the shortest path through all points, where `ends` is what it costs to begin or end at each.
pub(super) fn shortest(between: &[Vec<i64>], ends: &[i64]) -> Vec<usize> {
    match ends.len() {
        0 => Vec::new(),
        1 => vec![0],
        count if count <= EXACT => exact(between, ends),
        _ => Tour::new(between, ends).search(),
    }
}

/// Held and Karp's method: the cheapest way through each subset to each last point.
fn exact(between: &[Vec<i64>], ends: &[i64]) -> Vec<usize> {
    let count = ends.len();
    let subsets = 1_usize << count;
    let mut cost = vec![i64::MAX; subsets * count];
    let mut before = vec![u8::MAX; subsets * count];
    for point in 0..count {
        cost[(1 << point) * count + point] = ends[point];
    }
    for subset in 1..subsets {
        for last in 0..count {
            let here = cost[subset * count + last];
            if here == i64::MAX {
                continue;
            }
            for (next, step) in between[last].iter().enumerate() {
                if subset >> next & 1 == 1 {
                    continue;
                }
                let place = (subset | 1 << next) * count + next;
                let there = here.saturating_add(*step);
                if there < cost[place] {
                    cost[place] = there;
                    before[place] = u8::try_from(last).unwrap_or(u8::MAX);
                }
            }
        }
    }
    let mut subset = subsets - 1;
    let mut last = (0..count)
        .min_by_key(|last| cost[subset * count + last].saturating_add(ends[*last]))
        .unwrap_or(0);
    let mut path = vec![last];
    while path.len() < count {
        let previous = usize::from(before[subset * count + last]);
        subset &= !(1 << last);
        last = previous;
        path.push(last);
    }
    path
}

/// A round trip through all points and one more, the end, at which it is cut open.
struct Tour {
    far: Vec<Vec<i64>>,
}

/// How often a good tour is disturbed and mended again.
const KICKS: usize = 150;

impl Tour {
    fn new(between: &[Vec<i64>], ends: &[i64]) -> Tour {
        let mut far: Vec<Vec<i64>> = between
            .iter()
            .zip(ends)
            .map(|(row, end)| row.iter().copied().chain([*end]).collect())
            .collect();
        far.push(ends.iter().copied().chain([0]).collect());
        Tour { far }
    }

    fn length(&self, tour: &[usize]) -> i64 {
        (0..tour.len())
            .map(|at| self.far[tour[at]][tour[(at + 1) % tour.len()]])
            .sum()
    }

    fn search(&self) -> Vec<usize> {
        let count = self.far.len();
        let starts = [
            self.by_shortest_links(),
            self.by_spectrum(),
            self.by_nearest(count - 1),
        ];
        let mut best: Option<(i64, Vec<usize>)> = None;
        for mut tour in starts {
            self.mend(&mut tour);
            let length = self.length(&tour);
            if best.as_ref().is_none_or(|(least, _)| length < *least) {
                best = Some((length, tour));
            }
        }
        let (mut least, mut tour) = best.unwrap_or((0, (0..count).collect()));
        let mut dice: u64 = 0x2545_f491_4f6c_dd1d;
        for _ in 0..KICKS {
            let mut cuts = [0; 3];
            for cut in &mut cuts {
                dice ^= dice << 13;
                dice ^= dice >> 7;
                dice ^= dice << 17;
                *cut = 1 + usize::try_from((dice >> 11) % (count as u64 - 1)).unwrap_or(0);
            }
            cuts.sort_unstable();
            let [first, second, third] = cuts;
            let mut other = tour[..first].to_vec();
            other.extend(&tour[second..third]);
            other.extend(&tour[first..second]);
            other.extend(&tour[third..]);
            self.mend(&mut other);
            let length = self.length(&other);
            if length < least {
                (least, tour) = (length, other);
            }
        }
        let end = tour
            .iter()
            .position(|point| *point == count - 1)
            .unwrap_or(0);
        tour.rotate_left(end);
        tour.remove(0);
        tour
    }

    /// Turns stretches round and moves short ones elsewhere while that makes the tour shorter.
    fn mend(&self, tour: &mut [usize]) {
        let count = tour.len();
        loop {
            let mut better = false;
            for from in 0..count - 1 {
                for to in from + 1..count {
                    let (before, after) =
                        (tour[(from + count - 1) % count], tour[(to + 1) % count]);
                    if to - from + 1 >= count - 1 {
                        continue;
                    }
                    let old = self.far[before][tour[from]] + self.far[tour[to]][after];
                    let new = self.far[before][tour[to]] + self.far[tour[from]][after];
                    if new < old {
                        tour[from..=to].reverse();
                        better = true;
                    }
                }
            }
            for size in 1..=3 {
                for from in 0..count - size {
                    better |= self.move_stretch(tour, from, size);
                }
            }
            if !better {
                return;
            }
        }
    }

    /// Moves a stretch to the best place for it, either way round, if that is shorter.
    fn move_stretch(&self, tour: &mut [usize], from: usize, size: usize) -> bool {
        let count = tour.len();
        let (first, last) = (tour[from], tour[from + size - 1]);
        let (before, after) = (
            tour[(from + count - 1) % count],
            tour[(from + size) % count],
        );
        let saved = self.far[before][first] + self.far[last][after] - self.far[before][after];
        let mut best: Option<(i64, usize, bool)> = None;
        for gap in 0..count {
            let inside = (from..from + size).contains(&gap);
            if inside || (gap + 1) % count == from {
                continue;
            }
            let (left, right) = (tour[gap], tour[(gap + 1) % count]);
            let open = self.far[left][right];
            for turned in [false, true] {
                let (head, tail) = if turned { (last, first) } else { (first, last) };
                let added = self.far[left][head] + self.far[tail][right] - open;
                if added < saved && best.is_none_or(|(least, ..)| added < least) {
                    best = Some((added, gap, turned));
                }
            }
        }
        let Some((_, gap, turned)) = best else {
            return false;
        };
        if turned {
            tour[from..from + size].reverse();
        }
        if gap >= from + size {
            tour[from..=gap].rotate_left(size);
        } else {
            tour[gap + 1..from + size].rotate_right(size);
        }
        true
    }

    /// Joins the shortest links that make no branch and no ring too early.
    fn by_shortest_links(&self) -> Vec<usize> {
        let count = self.far.len();
        let mut links: Vec<(i64, usize, usize)> = (0..count)
            .flat_map(|one| (0..one).map(move |other| (one, other)))
            .map(|(one, other)| (self.far[one][other], other, one))
            .collect();
        links.sort_unstable();
        let mut next: Vec<Vec<usize>> = vec![Vec::new(); count];
        let mut group: Vec<usize> = (0..count).collect();
        for (_, one, other) in links {
            if next[one].len() < 2 && next[other].len() < 2 && group[one] != group[other] {
                let (keep, gone) = (group[one], group[other]);
                group
                    .iter_mut()
                    .filter(|group| **group == gone)
                    .for_each(|group| *group = keep);
                next[one].push(other);
                next[other].push(one);
            }
        }
        let mut tour = Vec::with_capacity(count);
        let mut at = (0..count).find(|point| next[*point].len() < 2).unwrap_or(0);
        let mut seen = vec![false; count];
        loop {
            seen[at] = true;
            tour.push(at);
            match next[at].iter().find(|point| !seen[**point]) {
                Some(point) => at = *point,
                None => return tour,
            }
        }
    }

    fn by_nearest(&self, start: usize) -> Vec<usize> {
        let count = self.far.len();
        let mut seen = vec![false; count];
        let mut tour = vec![start];
        seen[start] = true;
        while let Some(next) = (0..count)
            .filter(|point| !seen[*point])
            .min_by_key(|point| self.far[tour[tour.len() - 1]][*point])
        {
            seen[next] = true;
            tour.push(next);
        }
        tour
    }

    /// Orders the points by the second eigenvector of the graph Laplacian of their likeness (Atkins, Boman and
    /// Hendrickson 1998), found by iterating on the complement.
    fn by_spectrum(&self) -> Vec<usize> {
        let count = self.far.len() - 1;
        let mean = self.far[..count]
            .iter()
            .flat_map(|row| &row[..count])
            .map(|far| *far as f64)
            .sum::<f64>()
            / (count * count) as f64;
        let like: Vec<Vec<f64>> = self.far[..count]
            .iter()
            .map(|row| {
                row[..count]
                    .iter()
                    .map(|far| (-*far as f64 / (0.2 * mean).max(1.0)).exp())
                    .collect()
            })
            .collect();
        let degree: Vec<f64> = like.iter().map(|row| row.iter().sum()).collect();
        let shift = 2.0 * degree.iter().copied().fold(0.0, f64::max);
        let mut vector: Vec<f64> = (0..count)
            .map(|point| ((point * 37 % 101) as f64) - 50.0)
            .collect();
        for _ in 0..300 {
            let middle = vector.iter().sum::<f64>() / count as f64;
            vector.iter_mut().for_each(|part| *part -= middle);
            let length = vector
                .iter()
                .map(|part| part * part)
                .sum::<f64>()
                .sqrt()
                .max(f64::MIN_POSITIVE);
            vector.iter_mut().for_each(|part| *part /= length);
            vector = (0..count)
                .map(|point| {
                    let pulled: f64 = like[point]
                        .iter()
                        .zip(&vector)
                        .map(|(like, part)| like * part)
                        .sum();
                    (shift - degree[point]) * vector[point] + pulled
                })
                .collect();
        }
        let mut tour: Vec<usize> = (0..count).collect();
        tour.sort_by(|one, other| vector[*one].total_cmp(&vector[*other]).then(one.cmp(other)));
        tour.push(count);
        tour
    }
}
