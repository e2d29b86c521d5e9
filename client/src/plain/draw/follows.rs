//! What else follows a new outline or a new fence line, in sentences, before it is drawn for good.

use std::fmt::Write as _;

use selion_core::document::ids::{BedId, FenceId, JobId, OrderId};
use selion_core::document::{Garden, fence_change, ground_change};
use selion_core::geometry::{Line, Outline};
use selion_core::quantities::Units;

use super::Thing;
use super::shape::Shape;
use crate::plain::wording::counted;

/// What else follows a new shape; nothing where nobody need be asked.
pub fn follows(garden: &Garden, thing: Thing, shape: &Shape, units: Units) -> Option<String> {
    match (thing, shape) {
        (Thing::Bed(bed), Shape::Closed(outline)) => of_bed(garden, bed, outline, units),
        (Thing::Fence(fence), Shape::Fence(drawn)) => of_fence(garden, fence, &drawn.line, units),
        (Thing::Structure(_), _) | (_, Shape::Closed(_) | Shape::Fence(_)) => None,
    }
}

fn of_bed(garden: &Garden, bed: BedId, outline: &Outline, units: Units) -> Option<String> {
    let change = ground_change::of_outline(garden, bed, outline).ok()?.result;
    let (before, after) = (change.before.show(units), change.after.show(units));
    // A turn may round the area by what nobody can see.
    if before == after || !change.reaches_elsewhere() {
        return None;
    }
    let mut words = format!("The bed goes from {before} to {after}.");
    for (order, materials) in &change.orders {
        let of = materials.join(" and ");
        // Writing to a string cannot fail.
        let _ = write!(
            words,
            " {}: its part of {of} changes.",
            order_title(garden, *order)
        );
    }
    for job in &change.jobs {
        let _ = write!(
            words,
            " {}: the hours by bed area change.",
            job_title(garden, *job)
        );
    }
    let rows = change.plantings.len();
    if rows > 0 {
        let _ = write!(
            words,
            " Rows are laid anew for {}.",
            counted(rows, "planting", "plantings")
        );
    }
    Some(words + closed_words(change.closed))
}

fn of_fence(garden: &Garden, fence: FenceId, line: &Line, units: Units) -> Option<String> {
    let change = fence_change::of_line(garden, fence, line)?;
    let (before, after) = (change.before.show(units), change.after.show(units));
    if before == after || !change.reaches_elsewhere() {
        return None;
    }
    let mut words = format!("The fence goes from {before} to {after}.");
    for order in &change.orders {
        let title = order_title(garden, *order);
        let _ = write!(
            words,
            " {title}: was counted from the old line; look at its pieces again."
        );
    }
    for job in &change.jobs {
        let title = job_title(garden, *job);
        let _ = write!(
            words,
            " {title}: its hours were reckoned from the old line; look at them again."
        );
    }
    let tasks = change.tasks.len();
    if tasks > 0 {
        let keep = if tasks == 1 {
            "keeps its"
        } else {
            "keep their"
        };
        let _ = write!(
            words,
            " {} to walk it {keep} minutes.",
            counted(tasks, "task", "tasks")
        );
    }
    Some(words + closed_words(change.closed))
}

fn order_title(garden: &Garden, order: OrderId) -> &str {
    garden
        .order(order)
        .map_or("An open order", |(_, order)| order.title.as_str())
}

fn job_title(garden: &Garden, job: JobId) -> &str {
    garden
        .job(job)
        .map_or("A shared job", |(_, job)| job.title.as_str())
}

const fn closed_words(closed: usize) -> &'static str {
    if closed > 0 {
        " What is closed already stays as it is."
    } else {
        ""
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::records::{ClosedJob, FenceLine, Job, Task};
    use selion_core::ordered::Map;
    use selion_core::quantities::{Minutes, Moment};

    use super::super::shape::Fence;
    use super::*;
    use crate::plain::sample::{day, garden, hoe, task};

    fn job(fence: FenceId, closed: bool) -> Job {
        Job {
            title: "Build the fence".to_owned(),
            total: Minutes::new(600),
            beds_left_out: Map::new(),
            fence: Some(fence),
            closed: closed.then(|| ClosedJob {
                on: day("2026-05-01"),
                due: Map::new(),
            }),
            ended_on: None,
        }
    }

    #[test]
    fn a_longer_fence_names_what_was_reckoned_from_it_and_leaves_closed_jobs_alone() {
        let mut garden = garden();
        let now = Moment::from_millis(1);
        let fence = FenceId::fresh(now, [1; 10]);
        let line = Line::parse("LINESTRING(0 0,6000 0)").unwrap();
        let record = FenceLine {
            label: "North".to_owned(),
            line: line.clone(),
            gates: Map::new(),
            ended_on: None,
        };
        garden.fence_lines.insert(fence, Arc::new(record));
        let longer = |to: &str| {
            let line = Line::parse(to).unwrap();
            let gates = Map::new();
            follows(
                &garden,
                Thing::Fence(fence),
                &Shape::Fence(Fence { line, gates }),
                Units::Metric,
            )
        };
        assert_eq!(
            longer("LINESTRING(0 0,8000 0)"),
            None,
            "nothing hangs on it"
        );
        let season = garden.seasons.get_mut(&2026).unwrap();
        let jobs = [
            (JobId::fresh(now, [1; 10]), false),
            (JobId::fresh(now, [2; 10]), true),
        ];
        for (id, closed) in jobs {
            season.jobs.insert(id, Arc::new(job(fence, closed)));
        }
        let walk = Task {
            from: Some(format!("walk_fence:{fence}:2026-05")),
            ..hoe()
        };
        season.tasks.insert(task(1), Arc::new(walk));
        let longer = |to: &str| {
            let line = Line::parse(to).unwrap();
            let gates = Map::new();
            follows(
                &garden,
                Thing::Fence(fence),
                &Shape::Fence(Fence { line, gates }),
                Units::Metric,
            )
        };
        assert_eq!(
            longer("LINESTRING(0 0,8000 0)").unwrap(),
            "The fence goes from 6 m to 8 m. Build the fence: its hours were reckoned from the old line; look at them again. \
             1 task to walk it keeps its minutes. What is closed already stays as it is."
        );
        assert_eq!(longer("LINESTRING(0 0,0 6000)"), None, "as long as before");
    }
}
