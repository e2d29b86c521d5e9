//! Soil: each bed's newest test and what it is due; one bed's plan with its working; entering a report sheet.

pub mod crops;
pub mod materials;
pub mod plan;
pub mod test_sheet;

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::policy::Action;
use selion_core::soil::doses::Placement;

use self::materials::materials;
use self::test_sheet::test_sheet;
use crate::parts::{
    ActKind, Filter, act, act_link, acts, empty, filters, heading, line, lines, note, page_head,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::soil_rows::{self, SoilRow};
use crate::state::{Book, use_book};

const DUG_IN: &str = "dug-in";
/// Lime that stays on the surface, in addresses too.
pub const ON_TOP: &str = "on-top";

/// Where lime goes, as it is chosen on a screen.
fn placement(chosen: RwSignal<&'static str>) -> Placement {
    if chosen.get() == ON_TOP {
        Placement::OnTheSurface
    } else {
        Placement::DugIn
    }
}

fn placements(chosen: RwSignal<&'static str>) -> Piece {
    let choices = vec![
        Filter::new(DUG_IN, "Lime dug in"),
        Filter::new(ON_TOP, "On the surface"),
    ];
    filters("Where lime goes", choices, chosen)
}

/// The screen at `/soil`.
pub fn soil_screen() -> Piece {
    let book = use_book();
    let label = derived(move || format!("Ground · {}", book.garden_name()));
    let entering = signal_of(false);
    let chosen = signal_of(DUG_IN);
    let rows = memo(move || {
        soil_rows::rows(
            &book.garden.read(),
            book.me.get(),
            book.today.get(),
            placement(chosen),
            book.units(),
        )
    });
    pieces![
        page_head(label, "Soil").back("/ground", "Ground"),
        placements(chosen),
        heading("Beds"),
        when(
            move || !rows.read().is_empty(),
            move || lines().child(move || rows.get().into_iter().map(bed_line).collect::<Piece>())
        )
        .otherwise(|| empty("No bed is drawn yet")
            .child(el("p").child("Beds are put down under Ground; then their soil shows here."))),
        acts().child(
            act("Enter a soil test", move || entering.set(true))
                .kind(ActKind::Main)
                .refused(move || may_not_enter(book, None))
        ),
        to_an_order(rows, chosen),
        materials(),
        test_sheet(entering, None)
    ]
}

/// Why whoever looks may enter no sheet: for this bed, or for any.
fn may_not_enter(book: Book, bed: Option<BedId>) -> Option<String> {
    let me = book.me.get();
    let garden = book.garden.read();
    let holds = |bed: &BedId| {
        let bed = garden.open_bed(*bed);
        me.zip(bed).is_some_and(|(me, bed)| bed.is_held_by(me))
    };
    let own = match bed {
        Some(bed) => holds(&bed),
        None => garden.beds.keys().any(holds),
    };
    book.why_not(Action::AddSoilTest, own)
}

fn bed_line(row: SoilRow) -> Piece {
    line(row.what)
        .bed(row.label)
        .small(row.small)
        .mine(row.mine)
        .href(format!("/soil/{}", row.bed))
        .child(row.figure)
        .child(el("small").child(row.of))
        .into()
}

// Only for those who may open an order; what each bed is due begins it, with lime placed as it is chosen here.
fn to_an_order(rows: Memo<Vec<SoilRow>>, chosen: RwSignal<&'static str>) -> Piece {
    let book = use_book();
    let is_due = move || {
        rows.read()
            .iter()
            .any(|row| row.of == "of lime" && row.figure != "none")
    };
    when(
        move || book.may(Action::KeepOrders, false) && is_due(),
        move || {
            let address = move || format!("/order/new?from=soil&lime={}", chosen.get());
            pieces![
                act_link(address, "Start an order with this lime").wide(),
                note().child(
                    "The order begins with what each bed is due above, bed by bed; beds that are due none are left out."
                )
            ]
        },
    )
    .into()
}
