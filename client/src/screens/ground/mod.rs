//! The ground: its beds true to scale, and the list that says the same.

pub mod add_bed;
pub mod plan;

use leptos::prelude::*;
use selion_core::policy::Action;

use self::add_bed::AddBedSheet;
use self::plan::GroundPlan;
use crate::parts::{Act, ActKind, Acts, Empty, Heading, Line, Lines, PageHead};
use crate::plain::ground_rows::{self, BedRow};
use crate::plain::wording::day_words;
use crate::screens::looker::{Looker, use_looker};
use crate::state::use_book;

/// The screen at `/ground`.
#[component]
pub fn GroundScreen() -> impl IntoView {
    let book = use_book();
    let adding = RwSignal::new(false);
    let has_ground = Memo::new(move |_| ground_rows::extent(&book.garden.read()).is_some());
    let label = Signal::derive(move || {
        let today = book.today.get();
        // Any other day than today makes the words name the day itself.
        format!("Ground · {}", day_words(today, today.plus_days(-3)))
    });
    let title = Signal::derive(move || book.garden_name());
    let looker = use_looker();
    view! {
        <PageHead label=label title=title>
            <Show when=move || has_ground.get()>
                <Act words="Print" spoken="Print the bed map" kind=ActKind::Bare on_press=move |()| looker.print() />
            </Show>
        </PageHead>
        <Show when=move || has_ground.get() fallback=move || view! { <NoGround adding=adding /> }>
            <div class="split">
                <GroundPlan looker=looker />
                <BedList adding=adding looker=looker />
            </div>
        </Show>
        <AddBedSheet open=adding />
    }
}

#[component]
fn NoGround(adding: RwSignal<bool>) -> impl IntoView {
    let book = use_book();
    let refused = Signal::derive(move || book.why_not(Action::KeepGround, false));
    view! {
        <Empty lead="Nothing is drawn on this ground yet">
            <p>
                "A drawn plan (GeoJSON) or a table of beds (CSV: label, length, width, unit, holder) is brought in where the service runs:"
            </p>
            <p><code class="secret">"selion garden import --help"</code></p>
            <p>"Rectangular beds can also be put down here, one beside the other."</p>
            <Act words="Add a bed" kind=ActKind::Main on_press=move |()| adding.set(true) refused=refused />
        </Empty>
    }
}

#[component]
fn BedList(adding: RwSignal<bool>, looker: Looker) -> impl IntoView {
    let book = use_book();
    let rows = Memo::new(move |_| {
        let garden = book.garden.read();
        ground_rows::rows(&garden, looker.me(), book.today.get(), book.units())
    });
    let lines = move || {
        rows.get()
            .into_iter()
            .map(|row| view! { <BedLine row=row /> })
            .collect_view()
    };
    let refused = Signal::derive(move || book.why_not(Action::KeepGround, false));
    view! {
        <section aria-label="Beds">
            <Heading text="Beds" />
            <Lines>{lines}</Lines>
            <Show when=move || refused.read().is_none()>
                <Acts><Act words="Add a bed" on_press=move |()| adding.set(true) /></Acts>
            </Show>
        </section>
    }
}

#[component]
fn BedLine(row: BedRow) -> impl IntoView {
    let BedRow {
        bed,
        label,
        holders,
        week,
        area,
        unit,
        mine,
    } = row;
    view! {
        <Line bed=label what=holders small=week mine=mine href=format!("/bed/{bed}")>
            {area}
            <small>{unit}</small>
        </Line>
    }
}
