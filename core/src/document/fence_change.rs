//! What a new fence line changes elsewhere, named before it is drawn for good; and where its gates then are.
//!
//! A gate is kept by how far along the line it begins. So when a corner before it moves, its number changes although the gate
//! stays where it hangs: the functions here keep it on its side.

use super::garden::Garden;
use super::ids::{FenceId, JobId, OrderId, TaskId};
use super::records::{ClaimState, Gate};
use crate::geometry::{Line, Point};
use crate::ordered::Map;
use crate::quantities::Length;

/// What a new line of a fence changes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FenceChange {
    /// How long the fence is now.
    pub before: Length,
    /// How long it is afterwards.
    pub after: Length,
    /// Open orders of its material: their counts were taken from the line as it was.
    pub orders: Vec<OrderId>,
    /// Open jobs of its hours.
    pub jobs: Vec<JobId>,
    /// Tasks to be done that came from it: they keep the minutes of the line as it was, claimed or not.
    pub tasks: Vec<TaskId>,
    /// How many of its orders and jobs are closed, and stay as they are.
    pub closed: usize,
}

impl FenceChange {
    /// Whether anything but the line itself hangs on it.
    pub fn reaches_elsewhere(&self) -> bool {
        !self.orders.is_empty() || !self.jobs.is_empty() || !self.tasks.is_empty()
    }
}

/// What follows if a fence gets this line; nothing for a fence that is not there or was taken down.
pub fn of_line(garden: &Garden, fence: FenceId, line: &Line) -> Option<FenceChange> {
    let record = garden.fence_lines.get(&fence)?;
    if record.ended_on.is_some() {
        return None;
    }
    let mut change = FenceChange {
        before: record.line.length(),
        after: line.length(),
        ..FenceChange::default()
    };
    if change.before == change.after {
        return Some(change);
    }
    let name = fence.to_string();
    for ledger in garden.ledgers.values() {
        let of_it = ledger.orders.iter();
        for (id, order) in of_it.filter(|(_, order)| order.fence == Some(fence)) {
            match (&order.closed, order.ended_on) {
                (Some(_), _) => change.closed += 1,
                (None, None) => change.orders.push(*id),
                (None, Some(_)) => {}
            }
        }
    }
    for season in garden.seasons.values() {
        for (id, job) in season
            .jobs
            .iter()
            .filter(|(_, job)| job.fence == Some(fence))
        {
            match (&job.closed, job.ended_on) {
                (Some(_), _) => change.closed += 1,
                (None, None) => change.jobs.push(*id),
                (None, Some(_)) => {}
            }
        }
        for (id, task) in &season.tasks {
            let from = task.from.as_deref().and_then(|key| key.split(':').nth(1));
            let is_done = task
                .claims
                .values()
                .any(|claim| claim.state == ClaimState::Done);
            if from == Some(name.as_str()) && task.ended_on.is_none() && !is_done {
                change.tasks.push(*id);
            }
        }
    }
    Some(change)
}

/// The gates of a line of which one point was moved: each stays as far from the beginning of its side as it was, or as far as
/// the side leaves room.
pub fn gates_after_move(
    before: &Line,
    after: &Line,
    gates: &Map<String, Gate>,
) -> Map<String, Gate> {
    each(gates, |gate| {
        let mut begins = (0, 0);
        for (old, new) in before.runs().zip(after.runs()) {
            let ends = begins.0 + old.length().mm();
            if gate.at.mm() < ends {
                let off = gate.at.mm() - begins.0;
                return fitted(begins.1, new.length().mm(), off, gate.width);
            }
            begins = (ends, begins.1 + new.length().mm());
        }
        fit(after, gate.at, gate.width)
    })
}

/// The gates of a line that got a corner more or less: each goes to the place on the new line that is nearest to where it was.
pub fn gates_carried(before: &Line, after: &Line, gates: &Map<String, Gate>) -> Map<String, Gate> {
    each(gates, |gate| {
        fit(after, after.nearest(before.at(gate.at)), gate.width)
    })
}

/// Where a gate of this width begins when it is put down near a place along the line: so that it ends before the next corner.
pub fn fit(line: &Line, at: Length, width: Length) -> Length {
    let last = Length::from_mm(line.length().mm() - 1);
    let (begins, ends) = line.side_at(at.min(last));
    let off = at.mm() - begins.mm();
    fitted(begins.mm(), ends.mm() - begins.mm(), off, width)
}

/// The same for a gate of which the middle is to be near a point.
pub fn fit_near(line: &Line, middle: Point, width: Length) -> Length {
    let at = line.nearest(middle);
    let (begins, ends) = line.side_at(at);
    let off = at.mm() - begins.mm() - width.mm() / 2;
    fitted(begins.mm(), ends.mm() - begins.mm(), off, width)
}

fn fitted(begins: i64, side: i64, off: i64, width: Length) -> Length {
    let most = side.saturating_sub(width.mm()).max(0);
    Length::from_mm(begins + off.clamp(0, most))
}

fn each(gates: &Map<String, Gate>, place: impl Fn(&Gate) -> Length) -> Map<String, Gate> {
    let mut placed = Map::new();
    for (key, gate) in gates {
        let at = place(gate);
        let width = gate.width;
        placed.insert(key.clone(), Gate { at, width });
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(mm: i64) -> Length {
        Length::from_mm(mm)
    }

    fn gates(at: i64) -> Map<String, Gate> {
        let gate = Gate {
            at: mm(at),
            width: mm(1_200),
        };
        Map::from([("1".to_owned(), gate)])
    }

    fn line(wkt: &str) -> Line {
        Line::parse(wkt).unwrap()
    }

    #[test]
    fn a_gate_stays_on_its_side_when_a_corner_moves() {
        let before = line("LINESTRING(0 0,6000 0,6000 4000)");
        let after = line("LINESTRING(0 0,8000 0,6000 4000)");
        // On the second side, 500 from the corner: the corner went 2 m further.
        let moved = gates_after_move(&before, &after, &gates(6_500));
        assert_eq!(moved["1"].at, mm(8_500));
        // On the first side nothing before it moved.
        assert_eq!(
            gates_after_move(&before, &after, &gates(2_000))["1"].at,
            mm(2_000)
        );
        // A side that became too short for where it was: it ends at the corner.
        let short = line("LINESTRING(0 0,2500 0,6000 4000)");
        assert_eq!(
            gates_after_move(&before, &short, &gates(2_000))["1"].at,
            mm(1_300)
        );
    }

    #[test]
    fn a_gate_stays_where_it_hangs_when_a_corner_comes_or_goes() {
        let before = line("LINESTRING(0 0,6000 0,6000 4000)");
        let bent = line("LINESTRING(0 0,3000 0,6000 0,6000 4000)");
        assert_eq!(
            gates_carried(&before, &bent, &gates(6_500))["1"].at,
            mm(6_500)
        );
        // It may not lie over the new corner.
        assert_eq!(
            gates_carried(&before, &bent, &gates(2_500))["1"].at,
            mm(1_800)
        );
        let straight = line("LINESTRING(0 0,6000 4000)");
        let there = gates_carried(&before, &straight, &gates(0))["1"].at;
        assert_eq!(there, mm(0));
    }

    #[test]
    fn a_gate_is_put_where_a_finger_is_and_never_over_a_corner() {
        let fence = line("LINESTRING(0 0,6000 0,6000 4000)");
        assert_eq!(
            fit_near(&fence, Point::from_mm(3_000, 200), mm(1_200)),
            mm(2_400)
        );
        assert_eq!(
            fit_near(&fence, Point::from_mm(5_900, -100), mm(1_200)),
            mm(4_800)
        );
        assert_eq!(fit(&fence, mm(99_000), mm(1_200)), mm(8_800));
        assert_eq!(fit(&fence, mm(0), mm(9_000)), mm(0));
    }
}
