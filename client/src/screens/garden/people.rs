//! The people of the garden and what each may do; adding, renaming, roles, leaving and coming back, and who has a device.

use std::sync::Arc;

use leptos::prelude::*;
use selion_core::document::edit::MemberField;
use selion_core::document::ids::MemberId;
use selion_core::document::records::Member;
use selion_core::document::{DocumentName, Edit, Role};
use selion_core::policy::Action;

use super::asking::{Asked, NoAnswer};
use super::invite::{InviteDesk, PendingInvites};
use crate::browser::clock;
use crate::parts::{
    Act, ActKind, Acts, Choice, Form, Heading, Line, Lines, SelectField, SendButton, Sheet, Tag,
    TagKind, TextField, use_toasts,
};
use crate::plain::people_rows::{self, PersonRow};
use crate::plain::wording::counted;
use crate::screens::form::{Wrong, WrongWhole};
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
#[component]
pub fn People(
    /// Whether somebody looks at it.
    looked_at: Signal<bool>,
) -> impl IntoView {
    let book = use_book();
    let keeps_people = Memo::new(move |_| book.may(Action::KeepPeople, false));
    let wanted = Signal::derive(move || looked_at.get() && keeps_people.get());
    let service = AtTheService {
        enrolled: Asked::when(wanted, move || book.api().enrolled()),
        invites: Asked::when(wanted, move || book.api().invites()),
    };
    let chosen = RwSignal::new(None::<MemberId>);
    let (opened, adding) = (RwSignal::new(false), RwSignal::new(false));
    let rows = Memo::new(move |_| people_rows::rows(&book.garden.read(), book.me.get()));
    let here = move || rows.get().into_iter().filter(|row| !row.left);
    let gone = move || rows.get().into_iter().filter(|row| row.left);
    let has_gone = move || rows.read().iter().any(|row| row.left);
    let line = move |row: PersonRow| {
        let member = row.member;
        let press = keeps_people.get().then(|| {
            Callback::new(move |()| {
                chosen.set(Some(member));
                opened.set(true);
            })
        });
        view! { <PersonLine row=row service=service press=press /> }
    };
    let refused = Signal::derive(move || book.why_not(Action::KeepPeople, false));
    view! {
        <Heading text="People" />
        <Lines>{move || here().map(line).collect_view()}</Lines>
        <Acts><Act words="Add somebody" on_press=move |()| adding.set(true) refused=refused /></Acts>
        <Show when=move || keeps_people.get()>
            <NoAnswer of=service.enrolled />
            <PendingInvites service=service />
        </Show>
        <Show when=has_gone>
            <Heading text="Left the garden" />
            <Lines>{move || gone().map(line).collect_view()}</Lines>
        </Show>
        <PersonSheet chosen=chosen open=opened service=service />
        <AddSheet open=adding chosen=chosen opened=opened />
    }
}

#[component]
fn PersonLine(row: PersonRow, service: AtTheService, press: Option<Callback<()>>) -> impl IntoView {
    let PersonRow {
        member,
        name,
        role,
        beds,
        mine,
        left,
    } = row;
    let tag = move || {
        if left {
            return None;
        }
        let invited = service
            .pending()
            .iter()
            .any(|invite| invite.member == Some(member));
        match service.devices_of(member)? {
            0 if invited => Some(view! { <Tag word="invited" /> }.into_any()),
            0 => Some(view! { <Tag word="no device" kind=TagKind::Wait /> }.into_any()),
            devices => Some(counted(devices, "device", "devices").into_any()),
        }
    };
    let small = if beds.is_empty() {
        role.word().to_owned()
    } else {
        format!("{} · {beds}", role.word())
    };
    let margin = people_rows::initials(&name);
    match press {
        Some(press) => {
            view! { <Line bed=margin what=name small=small mine=mine on_press=press>{tag}</Line> }
                .into_any()
        }
        None => view! { <Line bed=margin what=name small=small mine=mine /> }.into_any(),
    }
}

#[component]
fn PersonSheet(
    chosen: RwSignal<Option<MemberId>>,
    open: RwSignal<bool>,
    service: AtTheService,
) -> impl IntoView {
    let book = use_book();
    let record = Memo::new(move |_| {
        let member = chosen.get()?;
        let record = book.garden.read().members.get(&member).cloned();
        record.map(|record| (member, record))
    });
    let title = Signal::derive(move || {
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
        Some(view! { <OnePerson member=member record=record open=open service=service /> })
    };
    view! { <Sheet open=open title=title>{content}</Sheet> }
}

#[component]
fn OnePerson(
    member: MemberId,
    record: Memo<Option<(MemberId, Arc<Member>)>>,
    open: RwSignal<bool>,
    service: AtTheService,
) -> impl IntoView {
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
    let leave = move |()| {
        let today = book.today.get_untracked();
        let said = format!("{} has left; what they wrote stays.", name());
        if pen.write_with_undo(DocumentName::Ground, ended(Some(today)), said, ended(None)) {
            open.set(false);
        }
    };
    let come_back = move |()| {
        let said = format!("{} is back.", name());
        pen.write(DocumentName::Ground, ended(None), said);
    };
    view! {
        <Show
            when=left
            fallback=move || view! {
                <NameAndRole member=member record=record open=open />
                <InviteDesk member=member name=Signal::derive(name) service=service open=open />
                <Acts><Act words="Has left the garden" kind=ActKind::Grave on_press=leave /></Acts>
            }
        >
            <Acts><Act words="Has come back" kind=ActKind::Main on_press=come_back /></Acts>
        </Show>
    }
}

#[component]
fn NameAndRole(
    member: MemberId,
    record: Memo<Option<(MemberId, Arc<Member>)>>,
    open: RwSignal<bool>,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let before = StoredValue::new(record.get_untracked().map(|(_, member)| member));
    let (name, role) = before.with_value(|before| {
        let before = before.as_ref();
        (
            RwSignal::new(before.map(|member| member.name.clone()).unwrap_or_default()),
            RwSignal::new(before.map_or("", |member| member.role.word()).to_owned()),
        )
    });
    let wrong = Wrong::new(&["name", "role"]);
    let send = move |()| {
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
    view! {
        <Form on_send=send>
            <TextField label="Name" value=name error=wrong.at("name") />
            <SelectField label="Role" value=role choices=role_choices() error=wrong.at("role") />
            <WrongWhole wrong=wrong />
            <SendButton words="Keep it" />
        </Form>
    }
}

#[component]
fn AddSheet(
    open: RwSignal<bool>,
    chosen: RwSignal<Option<MemberId>>,
    opened: RwSignal<bool>,
) -> impl IntoView {
    let book = use_book();
    let toasts = use_toasts();
    let name = RwSignal::new(String::new());
    let role = RwSignal::new(Role::Member.word().to_owned());
    let wrong = Wrong::new(&["name"]);
    let send = move |()| {
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
    view! {
        <Sheet open=open title="Add somebody">
            <Form on_send=send>
                <TextField label="Name" value=name error=wrong.at("name") help="What the others call them." />
                <SelectField label="Role" value=role choices=role_choices() />
                <WrongWhole wrong=wrong />
                <SendButton words="Put them on the list" />
            </Form>
        </Sheet>
    }
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
