//! Days as people say them.

use selion_core::quantities::{Day, Week, Weekday};

/// A day beside today: `today`, `tomorrow`, `yesterday`, else `Thu 12 June`, with its year when that is another.
pub fn day_words(day: Day, today: Day) -> String {
    match today.days_until(day) {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        _ => full_day(day, today),
    }
}

/// The same inside a sentence: `today`, `tomorrow`, `on Thu 12 June`.
pub fn in_a_sentence(day: Day, today: Day) -> String {
    if today.days_until(day).abs() <= 1 {
        day_words(day, today)
    } else {
        format!("on {}", full_day(day, today))
    }
}

/// A day for the head of a narrow column: `Thu 12`.
pub fn short_day(day: Day) -> String {
    format!("{} {}", weekday(day.weekday()), day.day())
}

/// A day for the margin column: `12 Jun`.
pub fn margin_day(day: Day) -> String {
    let month: String = month(day.month()).chars().take(3).collect();
    format!("{} {month}", day.day())
}

/// A week by its days: `8 to 14 June`, `29 June to 5 July`.
pub fn week_of(week: Week) -> String {
    let (first, last) = (week.first_day(), week.first_day().plus_days(6));
    let from = if first.month() == last.month() {
        first.day().to_string()
    } else {
        format!("{} {}", first.day(), month(first.month()))
    };
    format!("{from} to {} {}", last.day(), month(last.month()))
}

/// The weekday in three letters.
pub fn weekday(weekday: Weekday) -> &'static str {
    match weekday {
        Weekday::Monday => "Mon",
        Weekday::Tuesday => "Tue",
        Weekday::Wednesday => "Wed",
        Weekday::Thursday => "Thu",
        Weekday::Friday => "Fri",
        Weekday::Saturday => "Sat",
        Weekday::Sunday => "Sun",
    }
}

fn full_day(day: Day, today: Day) -> String {
    let year = if day.year() == today.year() {
        String::new()
    } else {
        format!(" {}", day.year())
    };
    format!("{} {}{year}", short_day(day), month(day.month()))
}

fn month(month: i8) -> &'static str {
    match month {
        1 => "January",
        2 => "February",
        3 => "March",
        4 => "April",
        5 => "May",
        6 => "June",
        7 => "July",
        8 => "August",
        9 => "September",
        10 => "October",
        11 => "November",
        _ => "December",
    }
}
