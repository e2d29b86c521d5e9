//! What the plan and the ground ask for in the next two weeks: accepted one by one, a whole kind, or by rule.

pub mod one;
pub mod rules;

use std::rc::Rc;

use leptos::prelude::*;
use selion_core::document::edit::ProfileField;
use selion_core::document::ids::TaskId;
use selion_core::document::proposals::{Kind, Proposal};
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use self::one::proposal_sheet;
use self::rules::rule_lines;
use crate::parts::{
    NoteKind, Toasts, act, act_link, acts, empty, heading, line, lines, note, page_head, use_toasts,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, watch, when};
use crate::plain::proposal_rows::{self, AsideLine, KindGroup};
use crate::plain::wording::counted;
use crate::state::{Book, use_book};

/// The proposals of the garden as it is shown, or why they cannot be worked out.
type Found = Memo<Result<Vec<KindGroup>, String>>;

/// Writes decisions on proposals, and says with a way back what was done.
#[derive(Clone, Copy, Debug)]
pub struct Decides {
    book: Book,
    toasts: Toasts,
}

/// The screen at `/proposals`.
pub fn proposals_screen() -> Piece {
    let book = use_book();
    let decides = Decides {
        book,
        toasts: use_toasts(),
    };
    let found = found(book);
    let asked = derived(move || found.with(|found| found.as_ref().map_or(0, |it| count(it))));
    let chosen = signal_of(None::<Proposal>);
    let label = derived(move || {
        let asked = counted(asked.get(), "proposal", "proposals");
        format!("Next two weeks · {asked}")
    });
    let refused = derived(move || book.why_not(Action::AcceptProposals, false));
    accept_by_rule(book);
    pieces![
        page_head(label, "What the plan asks for").back("/work", "Work"),
        when(
            move || refused.read().is_some(),
            move || note().child(move || refused.get().unwrap_or_default())
        ),
        move || match found.get() {
            Err(why) => note()
                .kind(NoteKind::Stop)
                .lead("The crop tables cannot be read.")
                .child(why)
                .into(),
            Ok(groups) if groups.is_empty() => nothing_asked(),
            Ok(groups) => groups
                .into_iter()
                .map(|group| kind_group(group, chosen, decides, refused))
                .collect::<Piece>(),
        },
        aside_lines(decides, refused),
        rule_lines(decides),
        proposal_sheet(chosen, decides, refused)
    ]
}

fn found(book: Book) -> Found {
    memo(move || {
        let groups = proposal_rows::groups(&book.garden.read(), book.today.get());
        groups.map_err(|bad| bad.to_string())
    })
}

fn count(groups: &[KindGroup]) -> usize {
    groups.iter().map(|group| group.proposals.len()).sum()
}

fn nothing_asked() -> Piece {
    empty("Nothing is asked for in the next two weeks")
        .child(el("p").child(
            "Plantings of the plan, the compost, the fence, rain and soil tests propose work here when its time comes. \
             What became a task stands under Work.",
        ))
        .child(act_link("/work", "To the work"))
        .into()
}

fn kind_group(
    group: KindGroup,
    chosen: RwSignal<Option<Proposal>>,
    decides: Decides,
    refused: Signal<Option<String>>,
) -> Piece {
    let KindGroup { kind, proposals } = group;
    let all = Rc::new(proposals.clone());
    let several = proposals.len() > 1;
    let words = format!("{} · {}", proposal_rows::heading(kind), proposals.len());
    let one = move |proposal: Proposal| proposal_line(proposal, chosen, decides, refused);
    let may = move || refused.read().is_none();
    let accept_all = move || decides.accept_all(&all);
    let accept_all = Rc::new(accept_all);
    pieces![
        heading(words),
        lines().child(proposals.into_iter().map(one).collect::<Piece>()),
        when(may, move || {
            let accept_all = Rc::clone(&accept_all);
            acts()
                .child(several.then(|| act("Accept all of these", move || accept_all())))
                .child(
                    act("By rule from now on", move || decides.rule(kind, true)).spoken(format!(
                        "Accept by rule from now on: {}",
                        proposal_rows::heading(kind)
                    )),
                )
        })
    ]
}

fn proposal_line(
    proposal: Proposal,
    chosen: RwSignal<Option<Proposal>>,
    decides: Decides,
    refused: Signal<Option<String>>,
) -> Piece {
    let book = decides.book;
    let label = untrack(|| book.garden.read().label_of(proposal.bed).to_owned());
    let small = proposal_rows::small(&proposal, book.today.get_untracked());
    let opened = proposal.clone();
    let spoken = format!("Accept: {} ({label})", proposal.title);
    let title = proposal.title.clone();
    let proposal = Rc::new(proposal);
    line(title)
        .bed(label)
        .small(small)
        .on_press(move || chosen.set(Some(opened.clone())))
        .child(when(
            move || refused.read().is_none(),
            move || {
                let proposal = Rc::clone(&proposal);
                act("Accept", move || decides.accept(&proposal)).spoken(spoken.clone())
            },
        ))
        .into()
}

// What nobody wanted this time can still be wanted.
fn aside_lines(decides: Decides, refused: Signal<Option<String>>) -> Piece {
    let book = decides.book;
    let rows = memo(move || proposal_rows::aside(&book.garden.read(), book.today.get()));
    let one = move |row: AsideLine| {
        let AsideLine {
            task,
            document,
            bed,
            title,
            small,
        } = row;
        let spoken = format!("Propose again: {title} ({bed})");
        line(title).bed(bed).small(small).done(true).child(when(
            move || refused.read().is_none(),
            move || {
                act("Propose again", move || decides.again(document, task)).spoken(spoken.clone())
            },
        ))
    };
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("Set aside or called off"),
                lines().child(move || rows.get().into_iter().map(one).collect::<Piece>())
            ]
        },
    )
    .into()
}

/// The way to the proposals from the work, with their count; only for those who may accept.
pub fn way_to_proposals() -> Piece {
    let book = use_book();
    accept_by_rule(book);
    let found = found(book);
    let words = derived(move || {
        let asked = found.with(|found| found.as_ref().map_or(0, |it| count(it)));
        format!("The plan asks: {asked}")
    });
    when(
        move || book.may(Action::AcceptProposals, false),
        move || acts().child(act_link("/proposals", words)),
    )
    .into()
}

/// Writes what goes by rule, where somebody looks who may accept. Another phone that does the same makes the same task.
pub fn accept_by_rule(book: Book) {
    let due = memo(move || {
        // Asked first: on the phones of others nothing is worked out.
        if !book.may(Action::AcceptProposals, false) {
            return Vec::new();
        }
        proposal_rows::to_accept(&book.garden.read(), book.today.get())
    });
    watch(move || {
        for (document, edit) in due.get() {
            // Refused only where the garden changed in this moment; the next look works it out anew.
            if book.write(document, edit).is_err() {
                break;
            }
        }
    });
}

impl Decides {
    fn accept(self, proposal: &Proposal) {
        let document = DocumentName::Season(proposal.year);
        if self.write(document, proposal.accepted()) {
            self.accepted(document, proposal);
        }
    }

    fn accepted(self, document: DocumentName, proposal: &Proposal) {
        let task = proposal.task();
        let words = format!("A task now: {}.", proposal.title);
        self.toasts
            .say_with_undo(words, move || self.again(document, task));
    }

    fn accept_all(self, proposals: &[Proposal]) {
        let mut made = Vec::new();
        for proposal in proposals {
            let document = DocumentName::Season(proposal.year);
            if !self.write(document, proposal.accepted()) {
                break;
            }
            made.push((document, proposal.task()));
        }
        let words = format!("Put up: {}.", counted(made.len(), "task", "tasks"));
        self.toasts.say_with_undo(words, move || {
            for (document, task) in &made {
                self.again(*document, *task);
            }
        });
    }

    fn aside(self, proposal: &Proposal) {
        let document = DocumentName::Season(proposal.year);
        let task = proposal.task();
        let edit = Edit::SetProposalAside {
            task,
            accepted: proposal.as_task(),
            on: self.book.today.get_untracked(),
        };
        if self.write(document, edit) {
            let words = format!("Not wanted this time: {}.", proposal.title);
            self.toasts
                .say_with_undo(words, move || self.again(document, task));
        }
    }

    fn again(self, document: DocumentName, task: TaskId) {
        let on = self.book.today.get_untracked();
        self.write(document, Edit::ProposeAgain { task, on });
    }

    fn rule(self, kind: Kind, agreed: bool) {
        let set = move |agreed: bool| {
            let garden = self.book.garden.get_untracked();
            let accept = proposal_rows::rules_with(&garden, kind, agreed);
            let set = vec![ProfileField::Accept(accept)];
            self.write(DocumentName::Ground, Edit::ChangeProfile { set })
        };
        if set(agreed) {
            let what = proposal_rows::heading(kind);
            let words = if agreed {
                format!("{what}: accepted by rule from now on.")
            } else {
                format!("{what}: proposed one by one again.")
            };
            self.toasts.say_with_undo(words, move || {
                set(!agreed);
            });
        }
    }

    fn write(self, document: DocumentName, edit: Edit) -> bool {
        match self.book.write(document, edit) {
            Ok(_) => true,
            Err(refused) => {
                self.toasts.say(refused.message);
                false
            }
        }
    }
}
