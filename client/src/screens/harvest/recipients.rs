//! Who outside is given of the harvest: a pantry, a neighbour. Coordinators keep the list; everybody reads it.

use leptos::prelude::*;
use selion_core::document::ids::RecipientId;
use selion_core::document::records::{Recipient, RecipientKind};
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Action;

use crate::parts::{
    ActKind, Choice, TagKind, Toasts, act, acts, empty, form, heading, line, lines, note_field,
    select_field, send_button, sheet, tag, text_field, use_toasts,
};
use crate::piece::{Piece, derived, each, el, live, memo, pieces, row, signal_of, when};
use crate::screens::form::{Wrong, some_words, wrong_whole};
use crate::state::{Book, use_book};

const NONPROFIT: &str = "nonprofit";
const NEIGHBOUR: &str = "neighbour";
const FIELDS: &[&str] = &["name", "word"];

/// The sheet: whether it is up, and about whom; about somebody new when there is nobody.
#[derive(Clone, Copy)]
struct About {
    up: RwSignal<bool>,
    whom: RwSignal<Option<RecipientId>>,
}

impl About {
    fn open(self, whom: Option<RecipientId>) {
        self.whom.set(whom);
        self.up.set(true);
    }
}

/// What a press needs: nobody provides it there any more.
type Ways = (Book, Toasts);

/// The list, with ways to keep it for whoever may.
pub fn recipients() -> Piece {
    let book = use_book();
    let about = About {
        up: signal_of(false),
        whom: signal_of(None),
    };
    let all = memo(move || {
        let garden = book.garden.read();
        let open = garden
            .recipients
            .iter()
            .filter(|(_, record)| record.ended_on.is_none());
        let mut open: Vec<_> = open
            .map(|(id, record)| (record.name.to_lowercase(), *id))
            .collect();
        open.sort();
        open.into_iter().map(|(_, id)| id).collect::<Vec<_>>()
    });
    let refused = derived(move || book.why_not(Action::KeepGround, false));
    el("div")
        .class("screen-only")
        .child(heading("Who is given of the harvest"))
        .child(
            when(
                move || !all.read().is_empty(),
                move || {
                    lines().child(each(
                        move || all.get(),
                        move |id| row(id, move || one(id, about)),
                    ))
                },
            )
            .otherwise(|| {
                empty("Nobody is on the list yet").child(
                    el("p").child(
                        "A pantry or a neighbour who takes what the garden has too much of.",
                    ),
                )
            }),
        )
        .child(acts().child(act("Add a recipient", move || about.open(None)).refused(refused)))
        .child(about_sheet(about))
        .into()
}

fn one(id: RecipientId, about: About) -> Piece {
    let book = use_book();
    let record = memo(move || {
        book.garden
            .read()
            .recipients
            .get(&id)
            .map(|found| (**found).clone())
    });
    let of = move |read: fn(Recipient) -> String| {
        derived(move || record.get().map(read).unwrap_or_default())
    };
    let may = move || book.may(Action::KeepGround, false);
    let spoken = derived(move || {
        let name = record.get().map(|record| record.name).unwrap_or_default();
        format!("Change {name}")
    });
    line(of(|record| record.name))
        .small(of(|record| {
            let kind = kind_words(record.kind);
            let word = record.word.trim().to_owned();
            if word.is_empty() {
                kind.to_owned()
            } else {
                format!("{kind} \u{b7} {word}")
            }
        }))
        .child(when(
            move || book.waits(&id),
            || tag("waiting", TagKind::Wait),
        ))
        .child(when(may, move || {
            act("Change", move || about.open(Some(id)))
                .spoken(spoken)
                .kind(ActKind::Bare)
        }))
        .into()
}

fn kind_words(kind: RecipientKind) -> &'static str {
    match kind {
        RecipientKind::Nonprofit => "A nonprofit that hands food on",
        RecipientKind::Neighbour => "A neighbour or friend",
    }
}

fn about_sheet(about: About) -> Piece {
    let title = derived(move || {
        if about.whom.get().is_some() {
            "Recipient"
        } else {
            "New recipient"
        }
        .to_owned()
    });
    sheet(about.up, title, move || {
        live(move || fields(about, about.whom.get()))
    })
}

// What they were given stays in the totals; only new pickings no longer name them.
fn take_off(ways: Ways, about: About, recipient: RecipientId, had: &Recipient) {
    let (book, toasts) = ways;
    let name = had.name.clone();
    let keep = move |record: Recipient| {
        let edit = Edit::KeepRecipient { recipient, record };
        let written = book.write(DocumentName::Ground, edit);
        written
            .map_err(|refused| toasts.say(refused.message))
            .is_ok()
    };
    let ended = Recipient {
        ended_on: Some(book.today.get_untracked()),
        ..had.clone()
    };
    let had = had.clone();
    if keep(ended) {
        about.up.set(false);
        toasts.say_with_undo(format!("{name} is off the list."), move || {
            keep(had.clone());
        });
    }
}

fn fields(about: About, whom: Option<RecipientId>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let known = whom.and_then(|id| {
        book.garden
            .read_untracked()
            .recipients
            .get(&id)
            .map(|found| (**found).clone())
    });
    let had = known.clone().unwrap_or_default();
    let name = signal_of(had.name.clone());
    let word = signal_of(had.word.clone());
    let kind = signal_of(match had.kind {
        RecipientKind::Nonprofit => NONPROFIT.to_owned(),
        RecipientKind::Neighbour => NEIGHBOUR.to_owned(),
    });
    let wrong = Wrong::new(FIELDS);
    let send = move || {
        wrong.clear();
        let Some(named) = wrong.take("name", some_words("name", &name.get_untracked())) else {
            return;
        };
        let record = Recipient {
            name: named,
            kind: if kind.get_untracked() == NEIGHBOUR {
                RecipientKind::Neighbour
            } else {
                RecipientKind::Nonprofit
            },
            word: word.get_untracked().trim().to_owned(),
            ended_on: None,
        };
        let recipient = whom.unwrap_or_else(|| book.fresh(RecipientId::fresh));
        let edit = Edit::KeepRecipient { recipient, record };
        if wrong.write(book, DocumentName::Ground, edit) {
            about.up.set(false);
            toasts.say("Written down.");
        }
    };
    let kinds = [RecipientKind::Nonprofit, RecipientKind::Neighbour];
    let kinds = kinds.into_iter().zip([NONPROFIT, NEIGHBOUR]);
    let kinds: Vec<Choice> = kinds
        .map(|(kind, key)| Choice::new(key, kind_words(kind)))
        .collect();
    let end = known.zip(whom).map(|(record, id)| {
        acts().child(
            act("Take off the list", move || {
                take_off((book, toasts), about, id, &record);
            })
            .kind(ActKind::Grave),
        )
    });
    pieces![
        form(send)
            .child(text_field("Name", name).error(wrong.at("name")))
            .child(select_field("What they are", kind, kinds))
            .child(
                note_field("When and where to bring it", word)
                    .error(wrong.at("word"))
                    .help("Ask them first what they take, and when.")
            )
            .child(wrong_whole(wrong))
            .child(send_button("Keep it")),
        end
    ]
}
