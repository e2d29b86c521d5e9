//! An invented plan, for looking at the plan's parts.

use leptos::prelude::*;
use selion_core::geometry::{Line as GroundLine, Outline, Point};
use selion_core::quantities::Units;

use crate::parts::{Line, Lines, Plan, Plate, Remark, TitleBlock};
use crate::plain::drawing;
use crate::plain::viewport::Extent;

struct Bed {
    label: &'static str,
    /// South-western corner, width and depth, in millimetres.
    place: [i64; 4],
    /// What stands in it, where it is not rows.
    hatch: Option<&'static str>,
}

const fn bed(label: &'static str, place: [i64; 4], hatch: Option<&'static str>) -> Bed {
    Bed {
        label,
        place,
        hatch,
    }
}

const BEDS: [Bed; 7] = [
    bed("A1", [2000, 18000, 4500, 6000], None),
    bed("A2", [7500, 18000, 4500, 6000], None),
    bed("A3", [13000, 18000, 4500, 6000], Some("url(#hatch-cover)")),
    bed("B1", [2000, 10500, 4500, 6000], Some("url(#hatch-mulch)")),
    bed("B2", [7500, 10500, 4500, 6000], Some("url(#hatch-bare)")),
    bed("C4", [18500, 10500, 4000, 13500], None),
    bed("D1", [2000, 5000, 10000, 4000], None),
];

const FENCE: &str = "LINESTRING(12500 1000,1000 1000,1000 25000,23500 25000,23500 1000,15500 1000)";

const GROUND: Extent = Extent {
    left: 0.0,
    top: -26_000.0,
    width: 24_500.0,
    height: 26_000.0,
};

/// A plan with its title block and the list that says the same.
#[component]
pub fn SamplePlan() -> impl IntoView {
    let chosen = RwSignal::new("");
    let beds = BEDS
        .iter()
        .filter_map(move |bed| drawn(bed, chosen))
        .collect_view();
    let fence = GroundLine::parse(FENCE)
        .map(|line| drawing::line_path(&line))
        .unwrap_or_default();
    let entries = [("Beds", "7, of which yours C4"), ("Area", "2,500 sq ft")];
    let entries = entries
        .map(|(name, figure)| (name.to_owned(), figure.to_owned()))
        .to_vec();
    view! {
        <div class="split">
            <div>
                <Plan
                    label="Plan of the ground: 7 beds, fence on four sides, gate south"
                    extent=GROUND
                    units=Units::UsCustomary
                    north=12.0
                >
                    <path class="fence" d=fence />
                    {beds}
                    <Remark at=(14_000.0, -600.0) text="gate 10 ft" />
                </Plan>
                <TitleBlock entries=entries />
            </div>
            <Lines>
                <Line
                    bed="C4"
                    what="Bush beans, rows 4 ft apart"
                    small="second sowing due 14 June"
                    mine=true
                    href="/bed/4"
                >
                    "360"
                    <small>"sq ft"</small>
                </Line>
                <Line bed="A3" what="Buckwheat, to be cut by 20 June" small="common bed" href="/bed/3">
                    "192"
                    <small>"sq ft"</small>
                </Line>
            </Lines>
        </div>
    }
}

fn drawn(bed: &Bed, chosen: RwSignal<&'static str>) -> Option<impl IntoView + use<>> {
    let &Bed {
        label,
        place,
        hatch,
    } = bed;
    let outline = rectangle(place)?;
    let path = drawing::outline_path(&outline);
    let rows = if hatch.is_none() {
        rows(place)
    } else {
        String::new()
    };
    let by_key = move |event: leptos::ev::KeyboardEvent| {
        if event.key() == "Enter" {
            chosen.set(label);
        }
    };
    Some(view! {
        <g
            class="bed"
            class:mine=label == "C4"
            class:chosen=move || chosen.get() == label
            role="button"
            tabindex="0"
            aria-label=format!("Bed {label}")
            on:click=move |_| chosen.set(label)
            on:keydown=by_key
        >
            <path class="outline" d=path.clone() />
            {hatch.map(|hatch| view! { <path class="outline" d=path fill=hatch /> })}
            <path class="row-line" d=rows />
            <Plate at=drawing::place(outline.label_point()) text=label />
        </g>
    })
}

fn rectangle([west, south, width, depth]: [i64; 4]) -> Option<Outline> {
    let (east, north) = (west + width, south + depth);
    let corners = [(west, south), (east, south), (east, north), (west, north)];
    Outline::new(
        corners.map(|(x, y)| Point::from_mm(x, y)).to_vec(),
        Vec::new(),
    )
    .ok()
}

// Rows 900 mm apart, as far as they fit.
fn rows([west, south, width, depth]: [i64; 4]) -> String {
    let (from, to) = (-(south + depth - 250), -(south + 250));
    let mut rows = Vec::new();
    let mut x = west + 450;
    while x < west + width {
        rows.push(format!("M{x} {from}V{to}"));
        x += 900;
    }
    rows.concat()
}
