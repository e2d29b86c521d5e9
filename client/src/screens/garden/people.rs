//! The people of the garden and what each may do; adding, renaming, roles, leaving and coming back, and who has a device.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::edit::MemberField;
use selion_core::document::ids::MemberId;
use selion_core::document::records::Member;
use selion_core::document::{DocumentName, Edit, Role};
use selion_core::policy::Action;

use super::asking::{Asked, no_answer};
use super::invite::{invite_desk, pending_invites};
use crate::browser::clock;
use crate::parts::{
    ActKind, Choice, TagKind, act, acts, form, heading, line, lines, select_field, send_button,
    sheet, tag, text_field, use_toasts,
};
use crate::piece::{Memo, Piece, derived, memo, pieces, signal_of, when};
use crate::plain::people_rows::{self, PersonRow};
use crate::plain::wording::counted;
use crate::screens::form::{Wrong, wrong_whole};
use crate::screens::pen::use_pen;
use crate::state::{Enrolled, InviteEntry, use_book};

/// What the service knows beside the records; asked for by coordinators only.
#[derive(Clone, Copy, Debug)]
pub struct AtTheService {
    /// How many devices each person has.
    pub enrolled: Asked<Vec<Enrolled>>,
    /// The invites that were made.
    pub invites: Asked<Vec<InviteEntry>>,
}

impl AtTheService {
    fn devices_of(self, member: MemberId) -> Option<usize> {
        let enrolled = self.enrolled.get()?;
        let found = enrolled.iter().find(|entry| entry.member == member);
        Some(found.map_or(0, |entry| entry.devices))
    }

    /// The invites that can still be used.
    pub fn pending(self) -> Vec<InviteEntry> {
        let now = clock::now();
        let mut invites = self.invites.get().unwrap_or_default();
        invites.retain(|invite| {
            invite.used_at.is_none() && invite.revoked_at.is_none() && invite.expires_at > now
        });
        invites
    }

    /// Asks for both once more.
    pub fn again(self) {
        self.enrolled.again();
        self.invites.again();
    }
}

/// The leaf.
pub fn people(looked_at: Signal<bool>) -> Piece {
    let book = use_book();
    let keeps_people = memo(move || book.may(Action::KeepPeople, false));
    let wanted = derived(move || looked_at.get() && keeps_people.get());
    let service = AtTheService {
        enrolled: Asked::when(wanted, move || book.api().enrolled()),
        invites: Asked::when(wanted, move || book.api().invites()),
    };
    let chosen = signal_of(None::<MemberId>);
    let (opened, adding) = (signal_of(false), signal_of(false));
    let rows = memo(move || people_rows::rows(&book.garden.read(), book.me.get()));
    let here = move || rows.get().into_iter().filter(|row| !row.left);
    let gone = move || rows.get().into_iter().filter(|row| row.left);
    let has_gone = move || rows.read().iter().any(|row| row.left);
    let line = move |row: PersonRow| {
        let member = row.member;
        let press = keeps_people.get().then_some(move || {
            chosen.set(Some(member));
            opened.set(true);
        });
        person_line(row, service, press)
    };
    let refused = derived(move || book.why_not(Action::KeepPeople, false));
    pieces![
        heading("People"),
        lines().child(move || here().map(line).collect::<Piece>()),
        acts().child(act("Add somebody", move || adding.set(true)).refused(refused)),
        when(
            move || keeps_people.get(),
            move || pieces![no_answer(service.enrolled), pending_invites(service)]
        ),
        when(has_gone, move || pieces![
            heading("Left the garden"),
            lines().child(move || gone().map(line).collect::<Piece>())
        ]),
        person_sheet(chosen, opened, service),
        add_sheet(adding, chosen, opened)
    ]
}

fn person_line(row: PersonRow, service: AtTheService, press: Option<impl Fn() + 'static>) -> Piece {
    let PersonRow {
        member,
        name,
        role,
        beds,
        mine,
        left,
    } = row;
    let devices = move || {
        if left {
            return None;
        }
        let invited = service
            .pending()
            .iter()
            .any(|invite| invite.member == Some(member));
        match service.devices_of(member)? {
            0 if invited => Some(Piece::from(tag("invited", TagKind::Plain))),
            0 => Some(Piece::from(tag("no device", TagKind::Wait))),
            devices => Some(Piece::from(counted(devices, "device", "devices"))),
        }
    };
    let small = if beds.is_empty() {
        role.word().to_owned()
    } else {
        format!("{} · {beds}", role.word())
    };
    let margin = people_rows::initials(&name);
    match press {
        Some(press) => Piece::from(
            line(name)
                .bed(margin)
                .small(small)
                .mine(mine)
                .on_press(press)
                .child(devices),
        ),
        None => Piece::from(line(name).bed(margin).small(small).mine(mine)),
    }
}

fn person_sheet(
    chosen: RwSignal<Option<MemberId>>,
    open: RwSignal<bool>,
    service: AtTheService,
) -> Piece {
    let book = use_book();
    let record = memo(move || {
        let member = chosen.get()?;
        let record = book.garden.read().members.get(&member).cloned();
        record.map(|record| (member, record))
    });
    let title = derived(move || {
        record.with(|found| {
            found
                .as_ref()
                .map(|(_, member)| member.name.clone())
                .unwrap_or_default()
        })
    });
    // Made anew for another person only, so that an invite on show stays while the records change.
    let content = move || {
        let member = chosen.get()?;
        Some(one_person(member, record, open, service))
    };
    sheet(open, title, move || content)
}

fn one_person(
    member: MemberId,
    record: Memo<Option<(MemberId, Arc<Member>)>>,
    open: RwSignal<bool>,
    service: AtTheService,
) -> Piece {
    let book = use_book();
    let pen = use_pen();
    let name = move || {
        record
            .with_untracked(|found| found.as_ref().map(|(_, member)| member.name.clone()))
            .unwrap_or_default()
    };
    let left = move || {
        record.with(|found| {
            found
                .as_ref()
                .is_some_and(|(_, member)| member.ended_on.is_some())
        })
    };
    let ended = move |day| Edit::ChangeMember {
        member,
        set: vec![MemberField::EndedOn(day)],
    };
    let leave = move || {
        let today = book.today.get_untracked();
        let said = format!("{} has left; what they wrote stays.", name());
        if pen.write_with_undo(DocumentName::Ground, ended(Some(today)), said, ended(None)) {
            open.set(false);
        }
    };
    let come_back = move || {
        let said = format!("{} is back.", name());
        pen.write(DocumentName::Ground, ended(None), said);
    };
    when(left, move || {
        acts().child(act("Has come back", come_back).kind(ActKind::Main))
    })
    .otherwise(move || {
        pieces![
            name_and_role(member, record, open),
            invite_desk(member, derived(name), service, open),
            acts().child(act("Has left the garden", leave).kind(ActKind::Grave))
        ]
    })
    .into()
}

fn name_and_role(
    member: MemberId,
    record: Memo<Option<(MemberId, Arc<Member>)>>,
    open: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let before = StoredValue::new(record.get_untracked().map(|(_, member)| member));
    let (name, role) = before.with_value(|before| {
        let before = before.as_ref();
        (
            signal_of(before.map(|member| member.name.clone()).unwrap_or_default()),
            signal_of(before.map_or("", |member| member.role.word()).to_owned()),
        )
    });
    let wrong = Wrong::new(&["name", "role"]);
    let send = move || {
        wrong.clear();
        let Some(now) = record.get_untracked().map(|(_, member)| member) else {
            return;
        };
        let typed = name.get_untracked().trim().to_owned();
        let chosen = role_of(&role.get_untracked());
        let set: Vec<MemberField> = [
            (typed != now.name).then_some(MemberField::Name(typed)),
            chosen
                .filter(|role| *role != now.role)
                .map(MemberField::Role),
        ]
        .into_iter()
        .flatten()
        .collect();
        if set.is_empty() {
            return open.set(false);
        }
        if wrong.write(
            book,
            DocumentName::Ground,
            Edit::ChangeMember { member, set },
        ) {
            toasts.say("Changed.");
            open.set(false);
        }
    };
    form(send)
        .child(text_field("Name", name).error(wrong.at("name")))
        .child(select_field("Role", role, role_choices()).error(wrong.at("role")))
        .child(wrong_whole(wrong))
        .child(send_button("Keep it"))
        .into()
}

fn add_sheet(
    open: RwSignal<bool>,
    chosen: RwSignal<Option<MemberId>>,
    opened: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let name = signal_of(String::new());
    let role = signal_of(Role::Member.word().to_owned());
    let wrong = Wrong::new(&["name"]);
    let send = move || {
        wrong.clear();
        let member = book.fresh(MemberId::fresh);
        let typed = name.get_untracked().trim().to_owned();
        let edit = Edit::AddMember {
            member,
            name: typed.clone(),
            role: role_of(&role.get_untracked()).unwrap_or(Role::Member),
        };
        if wrong.write(book, DocumentName::Ground, edit) {
            toasts.say(format!("{typed} is on the list."));
            name.set(String::new());
            open.set(false);
            // The next thing is to invite them.
            chosen.set(Some(member));
            opened.set(true);
        }
    };
    sheet(open, "Add somebody", move || {
        form(send)
            .child(
                text_field("Name", name)
                    .error(wrong.at("name"))
                    .help("What the others call them."),
            )
            .child(select_field("Role", role, role_choices()))
            .child(wrong_whole(wrong))
            .child(send_button("Put them on the list"))
    })
}

fn role_choices() -> Vec<Choice> {
    Role::ALL
        .into_iter()
        .rev()
        .map(|role| Choice::new(role.word(), people_rows::role_words(role)))
        .collect()
}

fn role_of(word: &str) -> Option<Role> {
    Role::ALL.into_iter().find(|role| role.word() == word)
}
