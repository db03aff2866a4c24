//! The heaviest set of things of which no two are in conflict.
//!
//! Being too early is handed on: if a is too early for b and b for c, then a is too early
//! for c. Conflicts with that property allow an exact answer in polynomial time (the
//! theorems of Dilworth and Kőnig, by a flow through two copies of each thing), where in
//! general one would have to try all sets.

use std::collections::VecDeque;

struct Flow<'w> {
    /// Left of each thing's weight, on its first copy.
    left: Vec<u64>,
    /// The same on its second copy.
    right: Vec<u64>,
    edges: &'w [Vec<usize>],
    /// Sent from the first copy of one to the second copy of another.
    sent: Vec<Vec<u64>>,
}

/// Where a search came from.
#[derive(Clone, Copy, PartialEq, Eq)]
enum From {
    Nowhere,
    Source,
    Copy(usize),
}

/// First and second copies, each with where the search came from.
struct Search {
    left: Vec<From>,
    right: Vec<From>,
}

/// Whether each thing is kept. `edges` names, by thing, those it conflicts with; each pair
/// is named once, and conflicts are handed on as described above.
pub(super) fn independent(weights: &[u64], edges: &[Vec<usize>]) -> Vec<bool> {
    let count = weights.len();
    let mut flow = Flow {
        left: weights.to_vec(),
        right: weights.to_vec(),
        edges,
        sent: vec![vec![0; count]; count],
    };
    loop {
        let search = flow.search();
        let end = (0..count).find(|at| {
            search.right.get(*at).is_some_and(|from| *from != From::Nowhere)
                && flow.right.get(*at).is_some_and(|left| *left > 0)
        });
        let Some(end) = end else {
            let reached = |side: &[From], at: usize| {
                side.get(at).is_some_and(|from| *from != From::Nowhere)
            };
            let kept = |at| reached(&search.left, at) && !reached(&search.right, at);
            return (0..count).map(kept).collect();
        };
        flow.push(&search, end);
    }
}

impl Flow<'_> {
    fn sent(&self, from: usize, to: usize) -> u64 {
        self.sent.get(from).and_then(|row| row.get(to)).copied().unwrap_or(0)
    }

    /// Everything that can still be reached from copies with weight left.
    fn search(&self) -> Search {
        let count = self.left.len();
        let mut found = Search {
            left: vec![From::Nowhere; count],
            right: vec![From::Nowhere; count],
        };
        let mut waiting = VecDeque::new();
        for (at, left) in self.left.iter().enumerate() {
            if *left > 0 {
                mark(&mut found.left, at, From::Source);
                waiting.push_back(at);
            }
        }
        while let Some(at) = waiting.pop_front() {
            for to in self.edges.get(at).into_iter().flatten() {
                if !mark(&mut found.right, *to, From::Copy(at)) {
                    continue;
                }
                for back in 0..count {
                    if self.sent(back, *to) > 0
                        && mark(&mut found.left, back, From::Copy(*to))
                    {
                        waiting.push_back(back);
                    }
                }
            }
        }
        found
    }

    /// Sends as much as fits along the way that the search found to `end`.
    fn push(&mut self, search: &Search, end: usize) {
        let mut steps = Vec::new();
        let mut amount = self.right.get(end).copied().unwrap_or(0);
        let mut to = end;
        let start = loop {
            let Some(From::Copy(from)) = search.right.get(to).copied() else { return };
            steps.push((from, to, true));
            match search.left.get(from).copied() {
                Some(From::Copy(back)) => {
                    amount = amount.min(self.sent(from, back));
                    steps.push((from, back, false));
                    to = back;
                }
                _ => break from,
            }
        };
        amount = amount.min(self.left.get(start).copied().unwrap_or(0));
        for (from, to, forth) in steps {
            if let Some(sent) = self.sent.get_mut(from).and_then(|row| row.get_mut(to)) {
                *sent = if forth { *sent + amount } else { sent.saturating_sub(amount) };
            }
        }
        take(&mut self.left, start, amount);
        take(&mut self.right, end, amount);
    }
}

fn take(from: &mut [u64], at: usize, amount: u64) {
    if let Some(left) = from.get_mut(at) {
        *left = left.saturating_sub(amount);
    }
}

/// Marks a copy that was not yet reached.
fn mark(side: &mut [From], at: usize, from: From) -> bool {
    match side.get_mut(at) {
        Some(place) if *place == From::Nowhere => {
            *place = from;
            true
        }
        _ => false,
    }
}
