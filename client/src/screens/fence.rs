//! A fence line of the ground: what it takes and how long, the shared job and the order that begin from it.

use leptos::prelude::*;
use selion_core::document::ids::FenceId;
use selion_core::ordered::Map;
use selion_core::policy::Action;
use selion_core::work::fence::kinds::KINDS;

use crate::parts::{
    ActKind, Choice, NoteKind, WorkingText, act, act_link, acts, amount_field, form, heading, line,
    lines, not_here, note, page_head, select_field, text_field, title_block, working,
};
use crate::piece::{Memo, Piece, derived, el, live, memo, pieces, signal_of, when};
use crate::plain::fence_order::{
    self, BY_HAND, FenceBox, FencePlan, FenceTyped, NoPlan, OWN, WITH_MACHINES, job_address,
    order_address,
};
use crate::plain::wording::capital;
use crate::state::use_book;

/// The screen at `/fence/:id`.
pub fn fence_screen(id: &str) -> Piece {
    let book = use_book();
    let fence = id.parse::<FenceId>().ok();
    let found = memo(move || {
        let garden = book.garden.read();
        fence.filter(|fence| fence_order::fence(&garden, *fence).is_some())
    });
    live(move || {
        found
            .get()
            .map_or_else(|| not_here("fence line", ("/ground", "Ground")), one_fence)
    })
}

#[derive(Clone, Copy)]
struct Draft {
    kind: RwSignal<String>,
    height: RwSignal<String>,
    in_ground: RwSignal<String>,
    spacing: RwSignal<String>,
    roll: RwSignal<String>,
    ties: RwSignal<String>,
    rate: RwSignal<String>,
    own_time: RwSignal<String>,
    own_length: RwSignal<String>,
}

impl Draft {
    fn new(typed: FenceTyped) -> Self {
        Self {
            kind: signal_of(typed.kind),
            height: signal_of(typed.height),
            in_ground: signal_of(typed.in_ground),
            spacing: signal_of(typed.spacing),
            roll: signal_of(typed.roll),
            ties: signal_of(typed.ties),
            rate: signal_of(typed.rate),
            own_time: signal_of(typed.own_time),
            own_length: signal_of(typed.own_length),
        }
    }

    fn typed(self) -> FenceTyped {
        FenceTyped {
            kind: self.kind.get(),
            height: self.height.get(),
            in_ground: self.in_ground.get(),
            spacing: self.spacing.get(),
            roll: self.roll.get(),
            ties: self.ties.get(),
            rate: self.rate.get(),
            own_time: self.own_time.get(),
            own_length: self.own_length.get(),
        }
    }
}

type Plan = Memo<Option<Result<FencePlan, NoPlan>>>;

fn one_fence(fence: FenceId) -> Piece {
    let book = use_book();
    let draft = Draft::new(FenceTyped::default());
    let title = derived(move || {
        let garden = book.garden.read();
        fence_order::fence(&garden, fence)
            .map(|fence| fence.label.clone())
            .unwrap_or_default()
    });
    let plan: Plan = memo(move || {
        let garden = book.garden.read();
        let record = fence_order::fence(&garden, fence)?;
        Some(fence_order::plan(record, &draft.typed(), book.units()))
    });
    pieces![
        page_head("Fence line", title).back("/ground", "Ground"),
        el("div").class("split").child(fields(draft, plan)).child(
            el("section")
                .attr("aria-label", "What it takes")
                .child(what_it_takes(plan))
                .child(begin(fence, draft, plan))
        )
    ]
}

fn fields(draft: Draft, plan: Plan) -> Piece {
    let book = use_book();
    let wrong = memo(move || {
        plan.with(|plan| match plan {
            Some(Err(NoPlan::Fields(wrong))) => wrong.clone(),
            Some(Ok(_) | Err(NoPlan::Refused(_))) | None => Map::new(),
        })
    });
    let at = move |of: FenceBox| derived(move || wrong.read().get(&of).cloned());
    let unit = derived(move || fence_order::unit(book.units()).to_owned());
    let kinds = KINDS
        .map(|kind| Choice::new(kind.name, capital(kind.name)))
        .to_vec();
    let rates = [
        (BY_HAND, "By hand: a guess"),
        (WITH_MACHINES, "With machines, as printed"),
        (OWN, "At our own rate"),
    ];
    let rates = rates.map(|(key, name)| Choice::new(key, name)).to_vec();
    form(|| ())
        .child(select_field("Against what", draft.kind, kinds).error(at(FenceBox::Kind)))
        .child(
            el("details")
                .class("more")
                .child(el("summary").child("Our own height, depth and distance"))
                .child(
                    el("div")
                        .class("form")
                        .child(
                            amount_field("Height", draft.height, unit).error(at(FenceBox::Height)),
                        )
                        .child(
                            amount_field("Posts in the ground", draft.in_ground, unit)
                                .error(at(FenceBox::InGround)),
                        )
                        .child(
                            amount_field("Between posts, at most", draft.spacing, unit)
                                .error(at(FenceBox::Spacing)),
                        )
                        .child(
                            el("p")
                                .class("help")
                                .child("What is left empty is taken as it is printed."),
                        ),
                ),
        )
        .child(
            el("div")
                .class("pair")
                .child(amount_field("A roll of mesh", draft.roll, unit).error(at(FenceBox::Roll)))
                .child(text_field("Ties on a post", draft.ties).error(at(FenceBox::Ties))),
        )
        .child(select_field("How it is built", draft.rate, rates))
        .child(when(
            move || draft.rate.read().as_str() == OWN,
            move || {
                el("div")
                    .class("pair")
                    .child(
                        amount_field("We take", draft.own_time, "h").error(at(FenceBox::OwnTime)),
                    )
                    .child(
                        amount_field("For", draft.own_length, unit).error(at(FenceBox::OwnLength)),
                    )
            },
        ))
        .into()
}

fn what_it_takes(plan: Plan) -> Piece {
    let book = use_book();
    let refused = move || {
        plan.with(|plan| match plan {
            Some(Err(NoPlan::Refused(words))) => Some(words.clone()),
            Some(Ok(_) | Err(NoPlan::Fields(_))) | None => None,
        })
    };
    let found = memo(move || plan.with(|plan| plan.as_ref()?.as_ref().ok().cloned()));
    let block = derived(move || {
        let units = book.units();
        found.with(|found| {
            let facts = found.as_ref().map(|plan| {
                let take_off = &plan.take_off.result;
                [
                    ("Fence", take_off.fence.show(units)),
                    ("Posts", take_off.posts.to_string()),
                    ("At most", plan.hours.result.most.show()),
                ]
            });
            let facts = facts.into_iter().flatten();
            facts
                .map(|(name, value)| (name.to_owned(), value))
                .collect::<Vec<_>>()
        })
    });
    pieces![
        move || refused().map(|words| note()
            .kind(NoteKind::Stop)
            .lead("It cannot be worked out yet.")
            .child(words)),
        title_block(block),
        live(move || found.get().map(|plan| pieces![
            working("What it takes", WorkingText::from(&plan.take_off)).open(true),
            working("How long it takes", WorkingText::from(&plan.hours))
        ]))
    ]
}

/// The shared job and the order that begin with what stands above; both open their forms, and nothing is written before.
fn begin(fence: FenceId, draft: Draft, plan: Plan) -> Piece {
    let book = use_book();
    let is_there = memo(move || plan.with(|plan| matches!(plan, Some(Ok(_)))));
    let why_no_job = derived(move || book.why_not(Action::KeepJobs, false));
    let sees_money = memo(move || book.may(Action::SeeLedger, false));
    let why_no_order = derived(move || book.why_not(Action::KeepOrders, false));
    let link = |address: Signal<String>, words: &'static str, refused: Signal<Option<String>>| {
        Piece::from(
            when(
                move || refused.read().is_none(),
                move || act_link(address, words).kind(ActKind::Plain),
            )
            .otherwise(move || act(words, || ()).refused(refused)),
        )
    };
    let to_job = derived(move || job_address(fence, &draft.typed()));
    let to_order = derived(move || order_address(fence, &draft.typed()));
    when(
        move || is_there.get(),
        move || {
            acts()
                .child(link(to_job, "Share its hours out", why_no_job))
                .child(when(
                    move || sees_money.get(),
                    move || link(to_order, "Order its material", why_no_order),
                ))
        },
    )
    .into()
}

/// The fence lines of the ground, each leading to what it takes; nothing where there are none.
pub fn fence_lines() -> Piece {
    let book = use_book();
    let rows = memo(move || fence_order::fences(&book.garden.read()));
    let one = move |(id, label, length): (FenceId, String, selion_core::quantities::Length)| {
        Piece::from(
            line(label)
                .bed("fence")
                .small("Posts, mesh and hours")
                .href(format!("/fence/{id}"))
                .child(length.show(book.units())),
        )
    };
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("Fence lines"),
                lines().child(move || rows.get().into_iter().map(one).collect::<Piece>())
            ]
        },
    )
    .into()
}
