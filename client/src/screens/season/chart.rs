//! The drawing of a year: a band for each bed, bars over the weeks, months along the top, frost and today as lines.
//!
//! It scrolls sideways inside its own frame while the labels stay. The list under *In words* says the same.

use leptos::task::spawn_local;
use selion_core::document::records::{PlantingState, StartsAs};

use super::Shown;
use super::free::Free;
use crate::browser::{scroll_sideways, timer};
use crate::piece::{El, Piece, el, pieces, svg};
use crate::plain::year_rows::scale::{Mark, MarkKind, WHOLE, months, percent};
use crate::plain::year_rows::{Band, DrawnBar, DrawnGap};

/// How high a lane is, in rem; a finger finds it.
const LANE: usize = 3;
/// The months stand again after so many beds, since on a phone those at the top are out of sight by then.
const MONTHS_AGAIN: usize = 8;
/// What is to the left of the first place to look at.
const BEFORE: i64 = 1_200;

/// The year's drawing.
pub fn chart(shown: &Shown, free: Free) -> Piece {
    if shown.bands.is_empty() {
        return Piece::Nothing;
    }
    let begin = begin_at(&shown.marks);
    let mut table = el("table").class("year");
    for mark in &shown.marks {
        table = table.style(line_name(mark.kind), percent(mark.at));
    }
    let mut rows = Vec::new();
    for (number, band) in shown.bands.iter().enumerate() {
        if number > 0 && number % MONTHS_AGAIN == 0 {
            rows.push(months_again(shown.year));
        }
        rows.push(one_band(band, shown.looks_back, free).into());
    }
    let words = if shown.looks_back { " as it stood" } else { "" };
    el("div")
        .class("year-frame")
        .attr("tabindex", "0")
        .attr("role", "region")
        .attr(
            "aria-label",
            format!("The year {}{words}, bed by bed", shown.year),
        )
        .once_there(move |frame| {
            let frame = frame.clone();
            spawn_local(async move {
                // It has no size before it stands in the page.
                timer::sleep(0).await;
                scroll_sideways(&frame, begin);
            });
        })
        .child(
            table
                .child(
                    el("caption")
                        .class("visually-hidden")
                        .child(format!("Plantings of {} by bed", shown.year)),
                )
                .child(head(shown))
                .child(el("tbody").child(Piece::Several(rows))),
        )
        .into()
}

/// What is seen first where not all of the year is: today, or when the season begins.
fn begin_at(marks: &[Mark]) -> i64 {
    let of = |kind| marks.iter().find(|mark| mark.kind == kind);
    let first = of(MarkKind::Today).or_else(|| of(MarkKind::LastFrost));
    first.map_or(0, |mark| (mark.at - BEFORE).max(0))
}

const fn line_name(kind: MarkKind) -> &'static str {
    match kind {
        MarkKind::LastFrost => "--last-frost",
        MarkKind::FirstFrost => "--first-frost",
        MarkKind::Today => "--today",
    }
}

fn head(shown: &Shown) -> El {
    let mark = |mark: &Mark| {
        let class = match mark.kind {
            MarkKind::LastFrost | MarkKind::FirstFrost => "year-mark frost",
            MarkKind::Today => "year-mark today",
        };
        let words = el("span").class(class).child(mark.words.clone());
        Piece::from(if mark.words_before {
            words.style("right", percent(WHOLE - mark.at))
        } else {
            words.style("left", percent(mark.at))
        })
    };
    el("thead").child(
        el("tr")
            .child(el("th").attr("scope", "col").child("Bed"))
            .child(
                el("td")
                    .class("year-months")
                    .child(month_names(shown.year))
                    .child(shown.marks.iter().map(mark).collect::<Piece>()),
            ),
    )
}

fn month_names(year: i16) -> Piece {
    let name =
        |(at, name): (i64, String)| Piece::from(el("span").style("left", percent(at)).child(name));
    months(year).into_iter().map(name).collect()
}

fn months_again(year: i16) -> Piece {
    el("tr")
        .class("year-again")
        .attr("aria-hidden", "true")
        .child(el("th"))
        .child(el("td").class("year-months").child(month_names(year)))
        .into()
}

fn one_band(band: &Band, looks_back: bool, free: Free) -> El {
    // What a link leads to is of today.
    let link = |href: String| {
        if looks_back {
            el("span")
        } else {
            el("a").attr("href", href)
        }
    };
    let label = link(format!("/bed/{}", band.bed)).child(band.label.clone());
    let you = || el("span").class("visually-hidden").child(", yours");
    let holders = el("small").child(band.holders.clone());
    el("tr")
        .class_if("mine", band.mine)
        .child(
            el("th")
                .attr("scope", "row")
                .child(label.child(band.mine.then(you)))
                .child(holders),
        )
        .child(
            el("td")
                .style("height", format!("{}rem", band.lanes * LANE))
                .child(unknown(band))
                .child(
                    band.bars
                        .iter()
                        .map(|drawn| {
                            bar(
                                drawn,
                                link(format!("/planting/{}", drawn.bar.planting)),
                                looks_back,
                            )
                        })
                        .collect::<Piece>(),
                )
                .child(
                    band.free
                        .iter()
                        .map(|gap| free_days(band, gap, free))
                        .collect::<Piece>(),
                ),
        )
}

/// What stands in the bed and is not drawn.
fn unknown(band: &Band) -> Option<El> {
    let crops: Vec<&str> = band
        .unknown
        .iter()
        .filter_map(|(_, why)| why.split(':').next())
        .collect();
    let words = format!("{}: days unknown", crops.join(", "));
    (!crops.is_empty()).then(|| el("p").class("year-unknown").child(words))
}

fn bar(drawn: &DrawnBar, element: El, looks_back: bool) -> Piece {
    let bar = &drawn.bar;
    let mut class = "year-bar".to_owned();
    class.push_str(match bar.state {
        PlantingState::Planned => " planned",
        PlantingState::Standing => "",
        PlantingState::Cleared => " cleared",
    });
    for (is_so, name) in [
        (bar.cover, " cover"),
        (bar.starts_as == StartsAs::Set, " set"),
        (bar.estimated, " estimated"),
        (drawn.from_before, " from-before"),
        (drawn.goes_on, " goes-on"),
        (drawn.words_at_end, " at-end"),
    ] {
        if is_so {
            class.push_str(name);
        }
    }
    let picking = drawn.picked.map(|(from, width)| {
        el("i")
            .style("left", percent(from))
            .style("width", percent(width))
    });
    placed(element, (drawn.lane, drawn.from, drawn.width))
        .class(class)
        .attr("role", looks_back.then_some("img"))
        .attr("aria-label", drawn.spoken.clone())
        .child(bar.crop.clone())
        .child(picking)
        .into()
}

fn free_days(band: &Band, gap: &DrawnGap, free: Free) -> Piece {
    let (bed, days) = (band.bed, gap.gap);
    placed(el("button"), (gap.lane, gap.from, gap.width))
        .attr("type", "button")
        .class("year-free")
        .attr("aria-label", gap.spoken.clone())
        .on("click", move || free.open(bed, days))
        .child(gap.words.clone())
        .into()
}

fn placed(element: El, (lane, from, width): (usize, i64, i64)) -> El {
    element
        .style("top", format!("{}rem", lane * LANE))
        .style("left", percent(from))
        .style("width", percent(width))
}

/// What the hatchings mean.
pub fn key() -> Piece {
    let mark = |class: &'static str, words: &'static str| {
        el("span")
            .child(el("i").class(class).attr("aria-hidden", "true"))
            .child(words)
    };
    let line = |class: &'static str, words: &'static str| {
        el("span")
            .child(
                svg("svg")
                    .class(class)
                    .attr("viewBox", "0 0 8 20")
                    .attr("aria-hidden", "true")
                    .child(svg("path").attr("d", "M4 0V20")),
            )
            .child(words)
    };
    pieces![
        el("p")
            .class("key year-key")
            .child(mark("year-sign", "sown, growing"))
            .child(mark("year-sign set", "set out"))
            .child(mark("year-sign picking", "picking, from first to last"))
            .child(mark("year-sign cover", "cover crop"))
            .child(mark("year-sign planned", "only planned"))
            .child(mark("year-sign estimated", "end is an estimate"))
            .child(line("year-line frost", "frost"))
            .child(line("year-line today", "today"))
    ]
}
