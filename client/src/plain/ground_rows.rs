//! The list beside the plan, which says the same: each bed with its area, its holders and what is on this week.

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::records::Bed;
use selion_core::geometry::Bounds;
use selion_core::ordered;
use selion_core::quantities::{Area, Day, Units};

use super::plantings::drawn::names_in;
use super::turns::{TurnLine, turns_between};
use super::viewport::Extent;
use super::wording::{capital, counted, day_words};
use super::{drawing, tasks};

/// One bed as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BedRow {
    /// Which.
    pub bed: BedId,
    /// Its label.
    pub label: String,
    /// Who holds it, in words.
    pub holders: String,
    /// What stands in it; empty when nothing does.
    pub grows: String,
    /// What is on this week; empty when nothing is.
    pub week: String,
    /// Its area as a number.
    pub area: String,
    /// And the unit.
    pub unit: &'static str,
    /// Whether whoever looks holds a part of it.
    pub mine: bool,
}

/// The beds that were not given up: one's own first, each group by label.
pub fn rows(garden: &Garden, me: Option<MemberId>, today: Day, units: Units) -> Vec<BedRow> {
    let mut rows: Vec<BedRow> = garden
        .open_beds()
        .into_iter()
        .map(|(id, bed)| {
            let area = bed.outline.area().show_apart(units);
            BedRow {
                bed: id,
                label: bed.label.clone(),
                holders: holders(garden, bed, me),
                grows: names_in(garden, id),
                week: this_week(garden, id, me, today).join(" · "),
                area: area.number,
                unit: area.unit,
                mine: is_mine(bed, me),
            }
        })
        .collect();
    ordered::sort_by_key(&mut rows, |row| !row.mine);
    rows
}

/// Who holds a bed: `common bed`, `you`, `Ines, 2 of 3 parts; Wren, 1 of 3 parts`.
pub fn holders(garden: &Garden, bed: &Bed, me: Option<MemberId>) -> String {
    let held: Vec<(MemberId, u32)> = bed.held_by().collect();
    let all: u32 = held.iter().map(|(_, parts)| parts).sum();
    let name = |member: MemberId| {
        if Some(member) == me {
            "you".to_owned()
        } else {
            garden.name_of(member).to_owned()
        }
    };
    let words = match held.as_slice() {
        [] => "common bed".to_owned(),
        [(member, _)] => name(*member),
        several if several.iter().all(|(_, parts)| *parts == 1) => several
            .iter()
            .map(|(member, _)| name(*member))
            .collect::<Vec<_>>()
            .join(", "),
        several => several
            .iter()
            .map(|(member, parts)| format!("{}, {parts} of {all} parts", name(*member)))
            .collect::<Vec<_>>()
            .join("; "),
    };
    capital(&words)
}

/// What is on at a bed this week: its tasks that are not done, what is late included, and who picks it.
pub fn this_week(garden: &Garden, bed: BedId, me: Option<MemberId>, today: Day) -> Vec<String> {
    let (first, last) = (
        today.week().first_day(),
        today.week().first_day().plus_days(6),
    );
    let to_do = tasks::listed(garden, tasks::Show::ToDo, me);
    let tasks = to_do
        .iter()
        .filter(|(_, task)| task.bed == Some(bed) && task.day.is_none_or(|day| day <= last))
        .map(|(_, task)| match task.day {
            Some(day) => format!("{}, {}", task.title, day_words(day, today)),
            None => task.title.clone(),
        });
    let turns = turns_between(garden, first, last, me, today)
        .into_iter()
        .filter(|turn| turn.bed == bed && !turn.done)
        .map(|turn| picker(&turn, today));
    tasks.chain(turns).collect()
}

fn picker(turn: &TurnLine, today: Day) -> String {
    let day = day_words(turn.day, today);
    if turn.is_mine() {
        format!("you pick {day}")
    } else if turn.picker.is_some() {
        format!("{} picks {day}", turn.name)
    } else {
        format!("nobody picks {day} yet")
    }
}

/// The figures under the plan: how many beds, which of them are one's own, and the whole area.
pub fn block(garden: &Garden, me: Option<MemberId>, units: Units) -> Vec<(String, String)> {
    let beds = garden.open_beds();
    let yours: Vec<&str> = beds
        .iter()
        .filter(|(_, bed)| is_mine(bed, me))
        .map(|(_, bed)| bed.label.as_str())
        .collect();
    let count = match yours.len() {
        0 => beds.len().to_string(),
        1..=3 => format!("{}, of which yours {}", beds.len(), yours.join(" ")),
        many => format!("{}, of which yours {many}", beds.len()),
    };
    let area: Area = beds.iter().map(|(_, bed)| bed.outline.area()).sum();
    vec![
        ("Beds".to_owned(), count),
        ("Area".to_owned(), area.show(units)),
    ]
}

/// What the plan shows, in a sentence for those who cannot see it.
pub fn plan_words(garden: &Garden) -> String {
    let beds = counted(garden.open_beds().len(), "bed", "beds");
    let structures = open_structures(garden).count();
    let fences = open_fences(garden).count();
    let mut words = format!("Plan of the ground, true to scale: {beds}");
    if structures > 0 {
        words.push_str(", ");
        words.push_str(&counted(structures, "structure", "structures"));
    }
    if fences > 0 {
        words.push_str(", ");
        words.push_str(&counted(fences, "fence line", "fence lines"));
    }
    words.push_str(". The list of beds says the same.");
    words
}

/// The ground that has to be seen: everything that stands on it.
pub fn extent(garden: &Garden) -> Option<Extent> {
    extent_bounds(garden).map(drawing::extent)
}

/// The box around everything that stands on the ground.
pub fn extent_bounds(garden: &Garden) -> Option<Bounds> {
    let beds = garden
        .open_beds()
        .into_iter()
        .map(|(_, bed)| bed.outline.bounds());
    let structures = open_structures(garden).map(|structure| structure.outline.bounds());
    let fences = open_fences(garden).map(|fence| fence.line.bounds());
    beds.chain(structures).chain(fences).reduce(Bounds::with)
}

/// The structures that are still there.
pub fn open_structures(
    garden: &Garden,
) -> impl Iterator<Item = &selion_core::document::records::Structure> {
    garden
        .structures
        .values()
        .map(AsRef::as_ref)
        .filter(|structure| structure.ended_on.is_none())
}

/// The fence lines that are still there.
pub fn open_fences(
    garden: &Garden,
) -> impl Iterator<Item = &selion_core::document::records::FenceLine> {
    garden
        .fence_lines
        .values()
        .map(AsRef::as_ref)
        .filter(|fence| fence.ended_on.is_none())
}

fn is_mine(bed: &Bed, me: Option<MemberId>) -> bool {
    me.is_some_and(|me| bed.is_held_by(me))
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;
    use std::sync::Arc;

    use super::*;
    use crate::plain::sample::{bed, by, claim, day, garden, hoe, member, pick, turn, with_tasks};
    use selion_core::document::records::{Task, Turn};

    #[test]
    fn ones_own_beds_stand_first_with_what_is_on_this_week() {
        let mut garden = with_tasks([Task {
            day: Some(day("2026-06-12")),
            ..hoe()
        }]);
        let picked = Turn {
            claims: Map::from([(claim(1), by(member(1), 1))]),
            ..pick("2026-06-11")
        };
        let season = garden.seasons.get_mut(&2026).unwrap();
        season.turns.insert(turn(1), Arc::new(picked));
        season.turns.insert(turn(2), Arc::new(pick("2026-06-20")));
        let rows = rows(
            &garden,
            Some(member(2)),
            day("2026-06-11"),
            Units::UsCustomary,
        );
        let lines: Vec<String> = rows
            .iter()
            .map(|row| {
                format!(
                    "{} {} {} {}: {}",
                    row.label, row.holders, row.area, row.unit, row.week
                )
            })
            .collect();
        let expected = [
            "C4 You 32 sq ft: Hoe between the bean rows, tomorrow",
            "A2 Ines 32 sq ft: Ines picks today",
        ];
        assert_eq!(lines, expected);
    }

    #[test]
    fn holders_are_named_with_their_parts_where_these_differ() {
        let garden = garden();
        let record = garden.beds.get(&bed(1)).unwrap();
        let with = |holders: Vec<(MemberId, u32)>| {
            let bed = Bed {
                holders: holders.into_iter().collect(),
                ..Bed::clone(record)
            };
            super::holders(&garden, &bed, Some(member(2)))
        };
        assert_eq!(with(vec![]), "Common bed");
        assert_eq!(with(vec![(member(2), 1)]), "You");
        assert_eq!(with(vec![(member(1), 1), (member(2), 1)]), "Ines, you");
        assert_eq!(
            with(vec![(member(1), 2), (member(2), 1)]),
            "Ines, 2 of 3 parts; you, 1 of 3 parts"
        );
    }

    #[test]
    fn the_block_counts_beds_and_names_ones_own() {
        let block = block(&garden(), Some(member(1)), Units::Metric);
        let expected = [("Beds", "2, of which yours A2"), ("Area", "6.0 m²")];
        assert_eq!(
            block,
            expected.map(|(name, figure)| (name.to_owned(), figure.to_owned()))
        );
        assert_eq!(
            plan_words(&garden()),
            "Plan of the ground, true to scale: 2 beds. The list of beds says the same."
        );
    }

    #[test]
    fn a_garden_with_nothing_on_it_has_no_extent() {
        assert_eq!(extent(&Garden::default()), None);
        assert!(extent(&garden()).is_some());
    }
}
