//! Every part in use on one page, at `/parts`, to be looked at while working on them. Not in the program for phones.

pub mod phone;
pub mod plan;

use leptos::prelude::*;
use selion_core::reckoning::{Caution, Reckoning, Source, Step};

use crate::browser::page::{self, Theme};
use crate::parts::{
    ActKind, Choice, FigureRow, Filter, NoteKind, Squares, TagKind, Toasts, WorkingText, act, acts,
    amount_field, check_field, confirm, date_field, empty, figures, filters, form, heading, line,
    lines, note, note_field, page_head, places, qr, select_field, send_button, sheet, tab_panel,
    tabs, tag, text_field, use_toasts, working,
};
use crate::piece::{Piece, derived, el, pieces, signal_of};
use crate::plain::truth::Truth;

/// The page.
pub fn parts_page() -> Piece {
    pieces![
        page_head("Sorrel Bank · week 23", "The parts"),
        switches(),
        plan::sample_plan(),
        sample_lines(),
        sample_shares(),
        sample_form(),
        sample_sheets(),
        phone::phone(),
        heading("A code"),
        qr(
            "https://sorrel-bank.example/join#bWFkZSB1cCBmb3IgdGhpcw",
            "Code of an invitation"
        ),
        empty("Nothing waits for hands this week")
            .child(el("p").child("Tasks that the coordinator writes down show here."))
    ]
}

fn switches() -> Piece {
    let truth = use_context::<RwSignal<Truth>>();
    let tell = move |line: Truth| {
        if let Some(truth) = truth {
            truth.set(line);
        }
    };
    tell(Truth::in_step("09:41"));
    let themes = Theme::ALL.map(|theme| {
        let choose = move || page::note_trouble(page::set_theme(theme));
        act(theme.name(), choose)
    });
    pieces![
        acts().child(Piece::from_iter(themes)),
        acts()
            .child(act("In step", move || tell(Truth::in_step("09:41"))))
            .child(act("Waiting", move || tell(Truth::waiting(3, false))))
            .child(act("Set aside", move || tell(Truth::aside(1, "/garden"))))
            .child(act("No signal", move || tell(Truth::no_signal(
                "Thu 18:20"
            ))))
    ]
}

fn sample_lines() -> Piece {
    let toasts = use_toasts();
    let chosen = signal_of("all");
    let choices = vec![
        Filter::new("all", "All").counting(12),
        Filter::new("mine", "Mine").counting(3),
        Filter::new("week", "This week").counting(5),
        Filter::new("open", "Needs people").counting(4),
    ];
    pieces![
        filters("Which tasks", choices, chosen),
        heading("Mine"),
        lines()
            .child(
                line("Hoe between the bean rows")
                    .bed("C4")
                    .small("Thu, before the rain · 30 min")
                    .mine(true)
                    .href("/task/1")
                    .child(tag("waiting", TagKind::Wait))
            )
            .child(
                line("Set corner posts, north side")
                    .bed("N side")
                    .small("Sat 09:00 · bring gloves")
                    .mine(true)
                    .child("2 h")
                    .child(el("small").child("of 6 h due"))
            )
            .child(
                line("Pick summer squash")
                    .bed("A2")
                    .small("Wed and Fri")
                    .done(true)
                    .child(tag("done", TagKind::Done))
            ),
        lines_that_need_people(toasts),
        sample_notes(),
    ]
}

fn lines_that_need_people(toasts: Toasts) -> Piece {
    let claim = move || toasts.say_with_undo("You hold a place on B1.", || page::note("undone"));
    pieces![
        heading("Still needs people"),
        lines()
            .child(
                line("Spread compost, 1.2 cu yd")
                    .bed("B1")
                    .small("6 barrows · Sat")
                    .href("/task/2")
                    .child(places(|| Squares {
                        total: 4,
                        held: 2,
                        mine: true,
                        standing_by: 0
                    }))
                    .child(el("small").child("2 of 4"))
            )
            .child(
                line("Look under squash leaves for egg clusters")
                    .bed("D3")
                    .small("10 plants · by Fri")
                    .child(places(|| Squares {
                        total: 1,
                        held: 1,
                        mine: false,
                        standing_by: 2
                    }))
                    .child(el("small").child("2 stand by"))
            )
            .child(
                line("Mulch the paths")
                    .bed("B2")
                    .href("/task/3")
                    .child(act("Claim", claim))
            ),
    ]
}

fn sample_notes() -> Piece {
    pieces![
        note().kind(NoteKind::Mind).lead("Manure on B2.").child(
            "Lettuce there may be picked from 30 June; cooked or not, keep the \
             date."
        ),
        note()
            .kind(NoteKind::Stop)
            .lead("Refused.")
            .child("The places on D3 are taken; you stand by as second."),
        note()
            .kind(NoteKind::Done)
            .child("The order is closed, and everybody's share is settled."),
        note().child("Names, not faces: the list says what the plan shows.")
    ]
}

fn sample_shares() -> Piece {
    let heads = ["Member", "sq ft", "lb", "pays"]
        .map(ToOwned::to_owned)
        .to_vec();
    let rows = vec![
        FigureRow::new(["Ines · A1 A2", "384", "28.8", "$4.60"]),
        FigureRow::new(["You · C4", "360", "27.0", "$4.31"]).mine(),
        FigureRow::new(["Tomasz · B1 B2 B3", "900", "67.5", "$10.78"]),
        FigureRow::new(["Garden, common beds", "6,356", "476.7", "$76.15"]),
    ];
    let whole = vec![FigureRow::new(["Whole", "8,000", "600.0", "$95.84"])];
    let answer = Reckoning::new(
        (),
        Source::published("Rate from the soil test of 14 February"),
    )
    .step(Step::new(
        "Rate, 75 lb per 1000 sq ft at CCE 100 %",
        "0.075 lb/sq ft",
    ))
    .step(Step::new("Area of C4, 12 ft × 30 ft", "360 sq ft"))
    .step(Step::new("Lime for C4", "27.0 lb"))
    .step(Step::new("Price of 27.0 lb of 600 lb at $83.84", "$3.77"))
    .step(Step::new("Delivery $12.00 by weight", "$0.54"))
    .step(Step::sum("You pay", "$4.31"))
    .rounded("Rounded by largest remainder: the whole comes to $95.84 exactly.")
    .caution(Caution::LimeDust);
    pieces![
        heading("Shares"),
        figures("Ground limestone, 12 bags of 50 lb", heads, rows).whole(whole),
        working("Working for C4", WorkingText::from(&answer)).open(true)
    ]
}

fn sample_form() -> Piece {
    let [name, amount, day, unit, words] = std::array::from_fn(|_| signal_of(String::new()));
    let agreed = signal_of(false);
    let wrong = derived(move || {
        (amount.read().as_str() == "twelve").then(|| {
            "Amount: a number with its unit was expected, such as 12 ft; twelve came.".to_owned()
        })
    });
    amount.set("twelve".to_owned());
    unit.set("us".to_owned());
    let toasts = use_toasts();
    let leaf = signal_of("new");
    let units = vec![
        Choice::new("metric", "Metres and kilograms"),
        Choice::new("us", "Feet and pounds"),
    ];
    pieces![
        heading("A form"),
        tabs(
            "sample",
            "Forms",
            vec![("new", "New bed"), ("old", "Earlier")],
            leaf
        ),
        tab_panel("sample", "new", leaf).child(
            form(move || toasts.say("Saved on this phone."))
                .child(text_field("Label", name).help("Short, as on the peg: A1, N side."))
                .child(
                    el("div")
                        .class("pair")
                        .child(amount_field("Width", amount, "ft").error(wrong))
                        .child(date_field("From", day))
                )
                .child(select_field("Units", unit, units))
                .child(note_field("Note", words).help("Everybody in the garden can read it."))
                .child(
                    check_field("A common bed, held by nobody", agreed)
                        .help("The garden pays its share.")
                )
                .child(send_button("Add the bed"))
        ),
        tab_panel("sample", "old", leaf).child(empty("No earlier beds"))
    ]
}

fn sample_sheets() -> Piece {
    let (shown, question) = (signal_of(false), signal_of(false));
    let toasts = use_toasts();
    pieces![
        act("Close and share out", move || question.set(true))
            .kind(ActKind::Main)
            .wide(),
        act("Open a sheet", move || shown.set(true)).wide(),
        act("Lock the bed plan", || ())
            .wide()
            .refused(Some("Only a coordinator can lock the plan.".to_owned())),
        sheet(shown, "Spread compost on B1", move || pieces![
            lines()
                .child(line("Ines").small("first, since Tuesday"))
                .child(line("You").mine(true).small("second")),
            act("Give my place back", move || shown.set(false))
                .kind(ActKind::Grave)
                .wide()
        ]),
        confirm(question, "Close this order?")
            .follows(
                "Areas and rates are frozen, and each of 5 members owes the share \
                 shown. A mistake is put right by a further entry."
            )
            .yes("Close the order", move || toasts
                .say("The order is closed."))
    ]
}
