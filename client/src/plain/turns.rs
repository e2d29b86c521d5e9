//! Picking turns: who picks which bed when, and how turns are put up by a rota.

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, ClaimId, MemberId, TurnId};
use selion_core::document::records::{Place, Standing, Turn};
use selion_core::ordered;
use selion_core::quantities::{Day, Week};

/// One turn as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TurnLine {
    /// Which.
    pub turn: TurnId,
    /// Of which bed.
    pub bed: BedId,
    /// The bed's label.
    pub label: String,
    /// On which day.
    pub day: Day,
    /// Who picks, if anybody does.
    pub picker: Option<MemberId>,
    /// Their name.
    pub name: String,
    /// How many stand by behind them.
    pub standing_by: usize,
    /// The claim of whoever looks, if they have one.
    pub mine: Option<(ClaimId, Standing)>,
    /// Whether it was picked.
    pub done: bool,
    /// Its day has passed and it was not picked.
    pub late: bool,
}

impl TurnLine {
    /// What a turn looks like to this person.
    pub fn of(garden: &Garden, turn: TurnId, me: Option<MemberId>, today: Day) -> Option<Self> {
        let (_, record) = garden.turn(turn)?;
        Some(Self::from_record(garden, turn, record, me, today))
    }

    fn from_record(
        garden: &Garden,
        turn: TurnId,
        record: &Turn,
        me: Option<MemberId>,
        today: Day,
    ) -> Self {
        let standings = record.in_order();
        let picker = standings.first().map(|(_, claim, _)| claim.member);
        let done = record.is_done();
        Self {
            turn,
            bed: record.bed,
            label: garden.label_of(Some(record.bed)).to_owned(),
            day: record.day,
            picker,
            name: picker
                .map(|picker| garden.name_of(picker).to_owned())
                .unwrap_or_default(),
            standing_by: standings.len().saturating_sub(1),
            mine: me
                .and_then(|me| record.claim_of(me))
                .map(|(claim, _, standing)| (claim, standing)),
            done,
            late: !done && record.day < today,
        }
    }

    /// Whether this person picks it.
    pub fn is_mine(&self) -> bool {
        matches!(self.mine, Some((_, Standing::Holds | Standing::Done)))
    }
}

/// The turns from one day to another that were not called off, by bed as labels are read, then by day.
pub fn turns_between(
    garden: &Garden,
    first: Day,
    last: Day,
    me: Option<MemberId>,
    today: Day,
) -> Vec<TurnLine> {
    let mut turns: Vec<TurnLine> = garden
        .seasons
        .values()
        .flat_map(|season| &season.turns)
        .filter(|(_, turn)| turn.ended_on.is_none() && (first..=last).contains(&turn.day))
        .map(|(id, turn)| TurnLine::from_record(garden, *id, turn, me, today))
        .collect();
    let place = |bed| {
        let beds = garden.open_beds();
        beds.iter()
            .position(|(open, _)| *open == bed)
            .unwrap_or(usize::MAX)
    };
    ordered::sort_by_key(&mut turns, |turn| (place(turn.bed), turn.day, turn.turn));
    turns
}

/// One bed's row in the week's grid: its turns by day, Monday first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BedWeek {
    /// Which bed.
    pub bed: BedId,
    /// Its label.
    pub label: String,
    /// Seven days, each with its turns.
    pub days: Vec<Vec<TurnId>>,
}

/// The days of a week, Monday first.
pub fn days_of(week: Week) -> Vec<Day> {
    (0..7)
        .map(|offset| week.first_day().plus_days(offset))
        .collect()
}

/// The turns of a week as a grid, bed by bed.
pub fn grid(turns: &[TurnLine], week: Week) -> Vec<BedWeek> {
    let days = days_of(week);
    let mut rows: Vec<BedWeek> = Vec::new();
    for turn in turns {
        if rows.last().is_none_or(|row| row.bed != turn.bed) {
            rows.push(BedWeek {
                bed: turn.bed,
                label: turn.label.clone(),
                days: vec![Vec::new(); days.len()],
            });
        }
        let at = days.iter().position(|day| *day == turn.day);
        let cell = rows
            .last_mut()
            .zip(at)
            .and_then(|(row, at)| row.days.get_mut(at));
        if let Some(cell) = cell {
            cell.push(turn.turn);
        }
    }
    rows
}

/// The days of turns put up in one go, each with the person whose turn it is: people take turns in the order they are
/// listed, and a list of nobody leaves the turns open.
pub fn rota(
    first: Day,
    every_days: i64,
    count: usize,
    people: &[MemberId],
) -> Vec<(Day, Option<MemberId>)> {
    let days = std::iter::successors(Some(first), |day| Some(day.plus_days(every_days)));
    let mut people = people.iter().copied().cycle();
    days.take(count).map(|day| (day, people.next())).collect()
}

#[cfg(test)]
mod tests {
    use selion_core::ordered::Map;

    use super::*;
    use crate::plain::sample::{bed, by, claim, day, done, member, pick, turn, with_turns};

    fn claimed(on: &str, claims: &[(ClaimId, selion_core::document::records::Claim)]) -> Turn {
        Turn {
            claims: claims.iter().cloned().collect::<Map<_, _>>(),
            ..pick(on)
        }
    }

    #[test]
    fn a_turn_says_who_picks_and_who_stands_by() {
        let (ines, tomasz) = (member(1), member(2));
        let garden = with_turns([claimed(
            "2026-06-12",
            &[(claim(1), by(tomasz, 1)), (claim(2), by(ines, 2))],
        )]);
        let line = TurnLine::of(&garden, turn(1), Some(ines), day("2026-06-13")).unwrap();
        assert_eq!(
            (line.name.as_str(), line.standing_by, line.late),
            ("Tomasz", 1, true)
        );
        assert!(!line.is_mine(), "a stand-by does not pick");
        let line = TurnLine::of(&garden, turn(1), Some(tomasz), day("2026-06-12")).unwrap();
        assert!(line.is_mine() && !line.late);
    }

    #[test]
    fn the_grid_keeps_one_row_a_bed_and_one_cell_a_day() {
        let on_c4 = Turn {
            bed: bed(2),
            ..pick("2026-06-08")
        };
        let picked = claimed(
            "2026-06-12",
            &[(claim(1), done(by(member(1), 1), "2026-06-12", 15))],
        );
        let next_week = pick("2026-06-15");
        let garden = with_turns([on_c4, picked, pick("2026-06-14"), next_week]);
        let week = day("2026-06-10").week();
        let turns = turns_between(
            &garden,
            week.first_day(),
            week.first_day().plus_days(6),
            None,
            day("2026-06-10"),
        );
        let rows = grid(&turns, week);
        assert_eq!(rows.len(), 2);
        let filled = |row: &BedWeek| -> Vec<usize> {
            (0..7).filter(|at| !row.days[*at].is_empty()).collect()
        };
        assert_eq!(
            (rows[0].label.as_str(), filled(&rows[0])),
            ("A2", vec![4, 6])
        );
        assert_eq!((rows[1].label.as_str(), filled(&rows[1])), ("C4", vec![0]));
    }

    #[test]
    fn a_rota_goes_round_the_people_and_crosses_months() {
        let people = [member(1), member(2)];
        let turns = rota(day("2026-06-29"), 2, 3, &people);
        assert_eq!(
            turns,
            [
                (day("2026-06-29"), Some(member(1))),
                (day("2026-07-01"), Some(member(2))),
                (day("2026-07-03"), Some(member(1))),
            ]
        );
        assert_eq!(
            rota(day("2026-06-29"), 7, 2, &[]),
            [(day("2026-06-29"), None), (day("2026-07-06"), None)]
        );
    }
}
