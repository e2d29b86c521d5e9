//! Marks on and around a plan: labels, hatches, north, scale bar, and the title block below.

use leptos::prelude::*;
use selion_core::quantities::Units;

use crate::plain::scale_bar;

/// A short label on a plate, such as a bed's; it keeps its size on the screen.
#[component]
pub fn Plate(
    /// Where its middle lies, in millimetres on the sheet.
    #[prop(into)]
    at: Signal<(f64, f64)>,
    /// Its words; a few letters.
    #[prop(into)]
    text: Signal<String>,
) -> impl IntoView {
    let width = move || 12.0 + 9.5 * letters(&text.read());
    view! {
        <g transform=move || set_at(at.get())>
            <g class="plate pinned">
                <rect x=move || -width() / 2.0 y="-11" width=width height="22" />
                <text font-size="15" y="1">
                    {move || text.get()}
                </text>
            </g>
        </g>
    }
}

/// A small word on the drawing, such as "gate 12 ft"; it keeps its size on the screen.
#[component]
pub fn Remark(
    /// Where its middle lies, in millimetres on the sheet.
    #[prop(into)]
    at: Signal<(f64, f64)>,
    /// Its words.
    #[prop(into)]
    text: Signal<String>,
) -> impl IntoView {
    view! {
        <g transform=move || set_at(at.get())>
            <text class="remark pinned" font-size="12">
                {move || text.get()}
            </text>
        </g>
    }
}

/// The block under a plan or a screen's head: each figure with its name above it.
#[component]
pub fn TitleBlock(
    /// Names and figures.
    #[prop(into)]
    entries: Signal<Vec<(String, String)>>,
) -> impl IntoView {
    let blocks = move || {
        let block = |(name, figure)| {
            view! {
                <div>
                    <dt>{name}</dt>
                    <dd>{figure}</dd>
                </div>
            }
        };
        entries.get().into_iter().map(block).collect_view()
    };
    view! { <dl class="titleblock">{blocks}</dl> }
}

/// What stands in a bed, as a pattern: `fill="url(#hatch-cover)"` and so on. Patterns keep their size on the screen.
#[component]
pub(super) fn Hatches(
    /// Millimetres of ground to a pixel.
    scale: Memo<f64>,
) -> impl IntoView {
    let plain = move || format!("scale({:.3})", scale.get());
    let slanted = move || format!("scale({:.3}) rotate(45)", scale.get());
    view! {
        <defs>
            <pattern id="hatch-cover" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform=slanted>
                <path class="hatch-ink" d="M0 0V7" />
            </pattern>
            <pattern id="hatch-bare" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform=plain>
                <circle class="hatch-dot" cx="2" cy="2" r="0.9" />
            </pattern>
            <pattern id="hatch-mulch" width="8" height="5" patternUnits="userSpaceOnUse" patternTransform=plain>
                <path class="hatch-soft" d="M0 4q2-3 4 0t4 0" />
            </pattern>
        </defs>
    }
}

/// The north mark.
#[component]
pub(super) fn NorthMark(
    /// How far north is turned from up, with the clock, in degrees.
    turned: Signal<f64>,
) -> impl IntoView {
    view! {
        <svg class="over north" viewBox="0 0 32 44" role="img" aria-label="North">
            <g transform=move || format!("rotate({:.1} 16 18)", turned.get())>
                <path class="solid" d="M16 2L22 28L16 23L10 28Z" />
            </g>
            <text x="16" y="42">
                "N"
            </text>
        </svg>
    }
}

/// The scale bar.
#[component]
pub(super) fn ScaleBarMark(
    /// Millimetres of ground to a pixel.
    scale: Memo<f64>,
    /// What it counts in.
    units: Signal<Units>,
) -> impl IntoView {
    const MOST_PIXELS: f64 = 150.0;
    const MARGIN: f64 = 6.0;
    move || {
        let bar = scale_bar::choose(scale.get(), MOST_PIXELS, units.get())?;
        let (length, half) = (bar.pixels, bar.pixels / 2.0);
        let edge = format!("-{MARGIN} 0 {:.1} 34", length + 2.0 * MARGIN + 34.0);
        let ticks = format!("M0 26H{length:.1}M0 21V31M{half:.1} 23V29M{length:.1} 21V31");
        let said = format!("The scale bar is {} long", bar.end);
        let middle = (length > 80.0).then_some(bar.middle);
        Some(view! {
            <svg class="scale-bar" viewBox=edge role="img" aria-label=said>
                <path d=ticks />
                <text x="-3" y="15">
                    "0"
                </text>
                <text x=half - 7.0 y="15">
                    {middle}
                </text>
                <text x=length - 12.0 y="15">
                    {bar.end}
                </text>
            </svg>
        })
    }
}

fn set_at((x, y): (f64, f64)) -> String {
    format!("translate({x:.0} {y:.0})")
}

fn letters(text: &str) -> f64 {
    u32::try_from(text.chars().count()).map_or(0.0, f64::from)
}
