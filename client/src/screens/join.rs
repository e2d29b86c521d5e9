//! `/join#secret`: looks at an invite first, then uses it when a button is pressed.

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::quantities::{BadInput, Currency, Units};

use super::form::{Wrong, some_words, wrong_whole};
use super::start::{in_plain_words, paste_invite};
use crate::address::use_location;
use crate::browser::{Trouble, clock, page};
use crate::later::{Later, later};
use crate::parts::{
    ActKind, Choice, NoteKind, act, act_link, acts, empty, form, note, page_head, select_field,
    send_button, text_field,
};
use crate::piece::{Piece, el, live, pieces, signal_of, watch, when};
use crate::plain::wording::capital;
use crate::state::{InviteSeen, NewGarden, use_book};

/// How far the invite has been looked at.
#[derive(Clone, Debug)]
enum Look {
    NoSecret,
    Looking,
    Seen(InviteSeen),
    Trouble(Trouble),
}

/// The screen.
pub fn join_page() -> Piece {
    let book = use_book();
    let hash = use_location().hash;
    let secret = signal_of(None::<String>);
    let look = signal_of(Look::NoSecret);
    let look_at = move |found: String| {
        secret.set(Some(found.clone()));
        look.set(Look::Looking);
        spawn_local(async move {
            look.set(match book.api().look(&found).await {
                Ok(seen) => Look::Seen(seen),
                Err(trouble) => Look::Trouble(trouble),
            });
        });
    };
    // The secret is taken out of the address at once: it is not to lie in the history or on a screen.
    watch(move || {
        let in_address = hash.read().strip_prefix('#').map(ToOwned::to_owned);
        let found = page::fragment()
            .or(in_address)
            .filter(|found| !found.is_empty());
        if let Some(found) = found {
            page::note_trouble(page::clear_fragment());
            look_at(found);
        }
    });
    let again = move || {
        if let Some(found) = secret.get_untracked() {
            look_at(found);
        }
    };
    live(move || match look.get() {
        Look::NoSecret => pieces![page_head("Selion", "Join a garden"), paste_invite()],
        Look::Looking => pieces![
            page_head("Selion", "Your invite"),
            el("p")
                .attr("role", "status")
                .child("Looking at the invite.")
        ],
        Look::Seen(invite) => seen(&invite, secret.get_untracked().unwrap_or_default()),
        Look::Trouble(trouble) => not_good(&trouble, again),
    })
}

fn not_good(trouble: &Trouble, again: impl Fn() + Copy + 'static) -> Piece {
    let book = use_book();
    let may_pass = trouble.may_pass();
    let gardens = move || book.account.read().gardens.clone();
    pieces![
        page_head("Selion", "Your invite"),
        note().kind(NoteKind::Stop).child(in_plain_words(trouble)),
        when(
            move || may_pass,
            move || acts().child(act("Try again", again).kind(ActKind::Main))
        )
        .otherwise(|| el("p").child("Each link works once, and for seven days.")),
        when(
            move || !gardens().is_empty(),
            move || pieces![
                el("p").child(move || format!("This phone is already in {}.", names(&gardens()))),
                act_link("/week", "To this week").wide()
            ]
        )
    ]
}

fn names(gardens: &[crate::state::GardenEntry]) -> String {
    let names: Vec<&str> = gardens.iter().map(|garden| garden.name.as_str()).collect();
    names.join(", ")
}

fn seen(invite: &InviteSeen, secret: String) -> Piece {
    match invite.kind.as_str() {
        "new_garden" => later(Later::NewGarden(secret)),
        "garden" | "device" => join_garden(invite, secret),
        _ => pieces![
            page_head("Selion", "Your invite"),
            empty("This invite is of a kind that this program does not know").child(el("p").child(
                "Load the page again to get the newest Selion, then open the link \
                 once more."
            ))
        ],
    }
}

fn join_garden(seen: &InviteSeen, secret: String) -> Piece {
    let book = use_book();
    let device = signal_of(page::kind_of_device().to_owned());
    let busy = signal_of(false);
    let wrong = Wrong::new(&[]);
    let is_device = seen.kind == "device";
    let garden = seen.garden_name.clone().unwrap_or_default();
    let (title, sentence) = what_it_is(seen);
    let already = {
        let garden = garden.clone();
        move || {
            book.account
                .read()
                .gardens
                .iter()
                .any(|entry| !garden.is_empty() && entry.name == garden)
        }
    };
    let others = move || names(&book.account.read().gardens);
    let has_others = {
        let already = already.clone();
        move || !others().is_empty() && !already()
    };
    let send = {
        let secret = StoredValue::new(secret);
        move || {
            wrong.clear();
            busy.set(true);
            spawn_local(async move {
                let device = device.get_untracked();
                let joined = book.api().join(&secret.get_value(), device.trim()).await;
                if let Err(trouble) = joined.and_then(|()| page::go_to("/week")) {
                    wrong.refused(in_plain_words(&trouble));
                    busy.set(false);
                }
            });
        }
    };
    let words = if is_device {
        "Use this device"
    } else {
        "Join the garden"
    };
    pieces![
        page_head("You were invited", capital(&title)),
        el("p").child(sentence),
        when(already.clone(), move || pieces![
            note().kind(NoteKind::Mind).child(
                "This phone is in this garden already. You can go there without \
                 using the invite."
            ),
            act_link("/week", "To this week").wide()
        ]),
        when(has_others, move || note().child(move || format!(
            "This phone is in {} too; you switch between gardens on the page Garden.",
            others()
        ))),
        form(send)
            .child(
                text_field("Name of this device", device)
                    .help("So that you know it again in the list of your devices.")
            )
            .child(wrong_whole(wrong))
            .child(send_button(words).attr("disabled", busy))
    ]
}

/// What an invite does, as a title and a sentence.
fn what_it_is(seen: &InviteSeen) -> (String, String) {
    let garden = seen.garden_name.clone().unwrap_or_default();
    let person = seen.member_name.clone().unwrap_or_default();
    let role = seen
        .role
        .map(|role| format!("as a {}", role.word()))
        .unwrap_or_default();
    if seen.kind == "device" {
        let whose = if person.is_empty() {
            "you".to_owned()
        } else {
            person
        };
        (
            "A further device".to_owned(),
            format!("With this link, this device acts for {whose}, in all of their gardens."),
        )
    } else {
        (
            format!("Join {garden}"),
            format!(
                "{garden} has a place for {person}, {role}. With it, this device acts for {person} in that garden."
            ),
        )
    }
}

/// The garden as it is being typed.
#[derive(Clone, Copy)]
struct GardenDraft {
    name: RwSignal<String>,
    your_name: RwSignal<String>,
    currency: RwSignal<String>,
    units: RwSignal<String>,
    zone: RwSignal<String>,
}

impl GardenDraft {
    fn new() -> Self {
        let [name, your_name, currency] = std::array::from_fn(|_| signal_of(String::new()));
        Self {
            name,
            your_name,
            currency,
            units: signal_of("metric".to_owned()),
            zone: signal_of(clock::own_zone().unwrap_or_default()),
        }
    }

    fn read(self, wrong: Wrong) -> Option<NewGarden> {
        let some = |field: RwSignal<String>, called: &'static str| {
            wrong.take(called, some_words(called, &field.get_untracked()))
        };
        let name = some(self.name, "garden name");
        let your_name = some(self.your_name, "your name");
        let typed = self.currency.get_untracked().trim().to_uppercase();
        let currency = wrong.take("currency", Currency::new(&typed));
        let typed = self.zone.get_untracked().trim().to_owned();
        let zone = clock::today(&typed)
            .map(|_| typed.clone())
            .map_err(|_unknown| {
                BadInput::new(
                    "place on the clock",
                    "a name such as Europe/Lisbon or America/Chicago",
                    &typed,
                )
            });
        let zone = wrong.take("place on the clock", zone);
        Some(NewGarden {
            name: name?,
            units: if self.units.get_untracked() == "us" {
                Units::UsCustomary
            } else {
                Units::Metric
            },
            currency: currency?,
            time_zone: zone?,
            your_name: your_name?,
        })
    }
}

/// Beginning a garden, with the secret of the invite to it.
pub fn begin_garden(secret: String) -> Piece {
    let book = use_book();
    let draft = GardenDraft::new();
    let device = signal_of(page::kind_of_device().to_owned());
    let busy = signal_of(false);
    let wrong = Wrong::new(&["garden name", "your name", "currency", "place on the clock"]);
    let secret = StoredValue::new(secret);
    let send = move || {
        wrong.clear();
        let Some(garden) = draft.read(wrong) else {
            return;
        };
        busy.set(true);
        spawn_local(async move {
            let device = device.get_untracked();
            let begun = book
                .api()
                .begin_garden(&secret.get_value(), &garden, device.trim())
                .await;
            if let Err(trouble) = begun.and_then(|()| page::go_to("/garden")) {
                wrong.refused(in_plain_words(&trouble));
                busy.set(false);
            }
        });
    };
    let choices = vec![
        Choice::new("metric", "Metres and kilograms"),
        Choice::new("us", "Feet and pounds"),
    ];
    pieces![
        page_head("Selion", "Begin a garden"),
        el("p").child(
            "With this link you begin a garden and are its first coordinator. \
             All of this can be changed later."
        ),
        form(send)
            .child(text_field("Name of the garden", draft.name).error(wrong.at("garden name")))
            .child(
                text_field("Your name", draft.your_name)
                    .error(wrong.at("your name"))
                    .autocomplete("name")
                    .help("As the others call you.")
            )
            .child(
                select_field("Units", draft.units, choices)
                    .help("What amounts are shown in; either can be typed.")
            )
            .child(
                text_field("Currency", draft.currency)
                    .error(wrong.at("currency"))
                    .help("Three letters, such as EUR, GBP or USD.")
            )
            .child(
                text_field("Place on the clock", draft.zone)
                    .error(wrong.at("place on the clock"))
                    .help("As this phone is set; days and weeks go by it.")
            )
            .child(
                text_field("Name of this device", device)
                    .help("So that you know it again in the list of your devices.")
            )
            .child(wrong_whole(wrong))
            .child(send_button("Begin the garden").attr("disabled", busy))
    ]
}
