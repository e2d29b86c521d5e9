//! Days as places along a year: the months, the frost dates and today, in hundredths of a percent from 1 January.

use selion_core::document::season_plan::year_view::YearView;
use selion_core::quantities::Day;

use crate::plain::wording::margin_day;

/// All of a year.
pub const WHOLE: i64 = 10_000;
/// Beyond this place words are set before their line, so that they do not run out of the year.
const FAR: i64 = 6_500;

/// How many days a year has.
fn days_of(year: i16) -> i64 {
    Day::new(year, 12, 31).map_or(365, |last| i64::from(last.day_of_year()))
}

/// Where a day begins in a year; days before it are at its beginning, days after it at its end.
pub fn place(day: Day, year: i16) -> i64 {
    match day.year() {
        before if before < year => 0,
        after if after > year => WHOLE,
        _same => (i64::from(day.day_of_year()) - 1) * WHOLE / days_of(year),
    }
}

/// So many days as a part of a year.
pub fn share(days: i64, year: i16) -> i64 {
    days * WHOLE / days_of(year)
}

/// A place or a width as a percentage, such as `27.39%`.
pub fn percent(place: i64) -> String {
    format!("{}.{:02}%", place / 100, (place % 100).abs())
}

/// The months of a year: where each begins, and its name in three letters.
pub fn months(year: i16) -> Vec<(i64, String)> {
    let firsts = (1..=12).filter_map(|month| Day::new(year, month, 1));
    firsts
        .map(|first| {
            let words = margin_day(first);
            let name = words.split(' ').next_back().unwrap_or_default();
            (place(first, year), name.to_owned())
        })
        .collect()
}

/// What a line through the year marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// The last frost of spring, at the garden's chance.
    LastFrost,
    /// The first frost of fall, likewise.
    FirstFrost,
    /// Today, or the day that is looked back to.
    Today,
}

/// A line through the year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// What it marks.
    pub kind: MarkKind,
    /// Where it stands.
    pub at: i64,
    /// What stands beside it.
    pub words: String,
    /// Whether the words stand before the line.
    pub words_before: bool,
}

impl Mark {
    fn new(kind: MarkKind, (day, year): (Day, i16), words: String) -> Self {
        let at = place(day, year);
        Self {
            kind,
            at,
            words,
            words_before: at > FAR,
        }
    }
}

/// The lines of a year: the frost dates where the garden has them, and today where it lies in the year.
pub fn marks(view: &YearView, year: i16, (today, today_words): (Day, &str)) -> Vec<Mark> {
    let mut marks = Vec::new();
    if let Some(frost) = &view.frost {
        let (last, first) = (frost.last_day(), frost.first_day());
        let words = format!("last frost {}", margin_day(last));
        marks.push(Mark::new(MarkKind::LastFrost, (last, year), words));
        let words = format!("first frost {}", margin_day(first));
        marks.push(Mark::new(MarkKind::FirstFrost, (first, year), words));
    }
    if today.year() == year {
        let words = format!("{today_words} {}", margin_day(today));
        marks.push(Mark::new(MarkKind::Today, (today, year), words));
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::day;

    #[test]
    fn days_stand_where_they_lie_in_the_year() {
        assert_eq!(place(day("2026-01-01"), 2026), 0);
        // 2 July is day 183 of 365, with 182 before it (calendar).
        assert_eq!(percent(place(day("2026-07-02"), 2026)), "49.86%");
        // In a leap year 2 July is day 184 of 366, the exact middle.
        assert_eq!(percent(place(day("2028-07-02"), 2028)), "50.00%");
        assert_eq!(place(day("2025-10-20"), 2026), 0);
        assert_eq!(place(day("2027-01-01"), 2026), WHOLE);
        assert!(place(day("2026-12-31"), 2026) < WHOLE);
    }

    #[test]
    fn twelve_months_stand_in_order() {
        let months = months(2026);
        assert_eq!(months.len(), 12);
        assert_eq!(months.first(), Some(&(0, "Jan".to_owned())));
        // 1 December is day 335 (calendar).
        assert_eq!(months.last(), Some(&(334 * WHOLE / 365, "Dec".to_owned())));
        assert!(months.windows(2).all(|two| two[0].0 < two[1].0));
    }

    #[test]
    fn today_is_a_line_only_in_its_own_year() {
        let view = YearView {
            frost: None,
            beds: Vec::new(),
        };
        let lines = |year| marks(&view, year, (day("2026-11-30"), "today"));
        assert!(lines(2025).is_empty());
        let [line]: [Mark; 1] = lines(2026).try_into().unwrap();
        assert_eq!(line.words, "today 30 Nov");
        assert!(line.words_before, "else it would run out of the year");
    }
}
