//! The person behind the phone: their gardens, devices and invites. These calls need a signal.

use std::cell::RefCell;

use leptos::prelude::*;
use selion_core::document::Role;
use selion_core::document::ids::{GardenId, MemberId};
use selion_core::json::{self, Json, Value, record};
use selion_core::quantities::{Currency, Moment, Units};

use super::Book;
use crate::browser::http::Call;
use crate::browser::vault::{Durability, Store, Vault, Write};
use crate::browser::{Trouble, clock, vault};

/// Where the account stands in the vault.
const ACCOUNT_KEY: &str = "account";
/// Where the id of the garden that was open last stands.
const CURRENT_KEY: &str = "current";
/// A token is fetched anew so long before it ends, since the clocks of phones are off.
const TOKEN_MARGIN_MILLIS: i64 = 60_000;

/// The person's gardens, as last heard.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Account {
    /// Who they are to the service.
    pub person: Option<Person>,
    /// The gardens they belong to.
    pub gardens: Vec<GardenEntry>,
}

record!(Account { person, gardens = default });

/// A person, as the service knows them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// Their name at the service.
    pub name: String,
    /// The name they sign in with, if they set a passphrase.
    pub sign_in_name: Option<String>,
}

record!(Person { name, sign_in_name });

/// A garden the person belongs to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GardenEntry {
    /// Its id.
    pub id: GardenId,
    /// What people call it.
    pub name: String,
    /// Who the person is there.
    pub member: MemberId,
    /// What they may do there.
    pub role: Role,
}

record!(GardenEntry {
    id,
    name,
    member,
    role
});

/// What an invite is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InviteSeen {
    /// `garden`, `new_garden` or `device`.
    pub kind: String,
    /// The garden's name.
    pub garden_name: Option<String>,
    /// Whose place it is.
    pub member_name: Option<String>,
    /// What they may do.
    pub role: Option<Role>,
}

record!(InviteSeen {
    kind,
    garden_name,
    member_name,
    role
});

/// A new invite, whose secret is shown once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InviteMade {
    /// The secret of the link.
    pub secret: String,
    /// When it ends.
    pub expires_at: Moment,
}

record!(InviteMade { secret, expires_at });

/// An invite that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InviteEntry {
    /// Its id.
    pub id: String,
    /// For whom.
    pub member: Option<MemberId>,
    /// When it ends.
    pub expires_at: Moment,
    /// When it was used.
    pub used_at: Option<Moment>,
    /// When it was taken back.
    pub revoked_at: Option<Moment>,
}

record!(InviteEntry {
    id,
    member,
    expires_at,
    used_at,
    revoked_at
});

/// One of the person's devices.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// When it was last heard of.
    pub last_seen: Option<Moment>,
    /// When it was revoked.
    pub revoked_at: Option<Moment>,
    /// Whether it is this phone.
    pub this: bool,
}

record!(Device { id, name, last_seen, revoked_at, this = default });

/// A calendar link, whose secret is shown once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CalendarMade {
    /// Below the service's address.
    pub path: String,
    /// When it was made.
    pub made_at: Moment,
}

record!(CalendarMade { path, made_at });

/// That there is a calendar link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CalendarSeen {
    /// When it was made.
    pub made_at: Moment,
}

record!(CalendarSeen { made_at });

/// How many devices a member has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Enrolled {
    /// Whom.
    pub member: MemberId,
    /// How many devices can act for them.
    pub devices: usize,
}

record!(Enrolled { member, devices });

/// What a new garden begins with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewGarden {
    /// What people call it.
    pub name: String,
    /// The units that amounts are shown in.
    pub units: Units,
    /// Its currency.
    pub currency: Currency,
    /// Its place on the clock.
    pub time_zone: String,
    /// The first coordinator's name.
    pub your_name: String,
}

#[derive(Clone)]
struct Token {
    access: String,
    expires_at: Moment,
    server_time: Option<Moment>,
}

record!(Token {
    access,
    expires_at,
    server_time
});

struct Joined {
    garden: GardenId,
}

record!(Joined { garden });

thread_local! {
    /// The access token of this tab: short-lived, so it is kept in memory only.
    static TOKEN: RefCell<Option<(String, Moment)>> = const { RefCell::new(None) };
}

/// Calls to the service about accounts, devices and invites.
#[derive(Clone, Copy, Debug)]
pub struct Api {
    book: Book,
}

impl Api {
    pub(super) fn new(book: Book) -> Self {
        Self { book }
    }

    /// What an invite is for; this does not use it up.
    pub async fn look(self, secret: &str) -> Result<InviteSeen, Trouble> {
        Call::post("/api/invites/look", &body(&[("secret", secret)]))
            .answer()
            .await
    }

    /// Uses an invite: this phone becomes a device of that person. The garden it leads to is opened next.
    pub async fn join(self, secret: &str, device_name: &str) -> Result<(), Trouble> {
        let body = body(&[("secret", secret), ("device_name", device_name)]);
        let joined: Joined = Call::post("/api/join", &body).answer().await?;
        self.arrived(Some(joined.garden)).await
    }

    /// Begins a garden with the service's one-time link.
    pub async fn begin_garden(
        self,
        secret: &str,
        garden: &NewGarden,
        device_name: &str,
    ) -> Result<(), Trouble> {
        let body = body(&[
            ("secret", secret),
            ("name", &garden.name),
            ("units", garden.units.key()),
            ("currency", garden.currency.code()),
            ("time_zone", &garden.time_zone),
            ("your_name", &garden.your_name),
            ("device_name", device_name),
        ]);
        let joined: Joined = Call::post("/api/gardens", &body).answer().await?;
        self.arrived(Some(joined.garden)).await
    }

    /// Signs in with a passphrase on a further device.
    pub async fn sign_in(
        self,
        sign_in_name: &str,
        passphrase: &str,
        device_name: &str,
    ) -> Result<(), Trouble> {
        let body = body(&[
            ("sign_in_name", sign_in_name),
            ("passphrase", passphrase),
            ("device_name", device_name),
        ]);
        Call::post("/api/sign-in", &body).done().await?;
        self.arrived(None).await
    }

    /// Sets the passphrase for further devices.
    pub async fn set_passphrase(self, sign_in_name: &str, passphrase: &str) -> Result<(), Trouble> {
        self.post(
            "/api/passphrase",
            &body(&[("sign_in_name", sign_in_name), ("passphrase", passphrase)]),
        )
        .await?;
        self.refresh().await
    }

    /// Asks the service for the person's gardens, and keeps the answer for the next start.
    pub async fn refresh(self) -> Result<(), Trouble> {
        let token = access().await?;
        let account: Account = Call::get("/api/me").bearer(&token).answer().await?;
        save_account(&vault::open(), &account).await?;
        self.book.account.set(account);
        Ok(())
    }

    /// The person's devices.
    pub async fn devices(self) -> Result<Vec<Device>, Trouble> {
        self.get("/api/devices").await
    }

    /// Revokes one of the person's devices.
    pub async fn revoke_device(self, device: &str) -> Result<(), Trouble> {
        self.post(&format!("/api/devices/{device}/revoke"), &body(&[]))
            .await
    }

    /// A short-lived link for a further device of this person.
    pub async fn link_device(self) -> Result<InviteMade, Trouble> {
        self.post_for("/api/devices/link", &body(&[])).await
    }

    /// The person's calendar link, if there is one.
    pub async fn calendar(self) -> Result<Option<CalendarSeen>, Trouble> {
        self.get("/api/calendar").await
    }

    /// A new calendar link; a former one stops.
    pub async fn make_calendar(self) -> Result<CalendarMade, Trouble> {
        self.post_for("/api/calendar", &body(&[])).await
    }

    /// Takes the calendar link back.
    pub async fn revoke_calendar(self) -> Result<(), Trouble> {
        self.post("/api/calendar/revoke", &body(&[])).await
    }

    /// The garden's invites.
    pub async fn invites(self) -> Result<Vec<InviteEntry>, Trouble> {
        self.get(&format!("{}/invites", self.garden_path()?)).await
    }

    /// An invite for somebody on the list of people.
    pub async fn invite(self, member: MemberId) -> Result<InviteMade, Trouble> {
        self.post_for(
            &format!("{}/invites", self.garden_path()?),
            &body(&[("member", &member.to_string())]),
        )
        .await
    }

    /// Takes an invite back.
    pub async fn revoke_invite(self, invite: &str) -> Result<(), Trouble> {
        self.post(
            &format!("{}/invites/{invite}/revoke", self.garden_path()?),
            &body(&[]),
        )
        .await
    }

    /// How many devices each member has.
    pub async fn enrolled(self) -> Result<Vec<Enrolled>, Trouble> {
        self.get(&format!("{}/enrolled", self.garden_path()?)).await
    }

    /// Revokes all devices of a member in this garden.
    pub async fn revoke_member_devices(self, member: MemberId) -> Result<(), Trouble> {
        self.post(
            &format!("{}/members/{member}/revoke-devices", self.garden_path()?),
            &body(&[]),
        )
        .await
    }

    /// After signing in: learn the gardens, remember which to open, and start anew with it.
    async fn arrived(self, garden: Option<GardenId>) -> Result<(), Trouble> {
        TOKEN.take();
        self.refresh().await?;
        let garden = garden.or_else(|| {
            self.book
                .account
                .with_untracked(|account| account.gardens.first().map(|entry| entry.id))
        });
        if let Some(garden) = garden {
            save_current(&vault::open(), garden).await?;
        }
        Ok(())
    }

    fn garden_path(self) -> Result<String, Trouble> {
        let garden = self
            .book
            .current
            .get_untracked()
            .ok_or(Trouble::Missing("a garden"))?;
        Ok(format!("/api/gardens/{garden}"))
    }

    async fn get<T: Json>(self, path: &str) -> Result<T, Trouble> {
        let token = access().await?;
        Call::get(path).bearer(&token).answer().await
    }

    async fn post(self, path: &str, body: &Value) -> Result<(), Trouble> {
        let token = access().await?;
        Call::post(path, body).bearer(&token).done().await
    }

    async fn post_for<T: Json>(self, path: &str, body: &Value) -> Result<T, Trouble> {
        let token = access().await?;
        Call::post(path, body).bearer(&token).answer().await
    }
}

/// The body of a call: texts by their names.
fn body(fields: &[(&str, &str)]) -> Value {
    let mut object = json::Object::new();
    for (name, text) in fields {
        json::put_word(&mut object, name, text);
    }
    Value::Object(object)
}

/// An access token that is good for the next call; the device's cookie is traded for a new one when needed.
pub(super) async fn access() -> Result<String, Trouble> {
    let known = TOKEN.with_borrow(Clone::clone);
    if let Some((token, good_until)) = known
        && clock::now() < good_until
    {
        return Ok(token);
    }
    let token: Token = Call::post("/api/token", &body(&[])).answer().await?;
    let lasts = token.expires_at.millis() - token.server_time.unwrap_or_else(clock::now).millis();
    let good_until = clock::now().plus_millis(lasts - TOKEN_MARGIN_MILLIS);
    TOKEN.set(Some((token.access.clone(), good_until)));
    Ok(token.access)
}

pub(super) async fn load_account(vault: &Vault) -> Account {
    let stored = vault
        .read(Store::Meta, ACCOUNT_KEY)
        .await
        .ok()
        .flatten()
        .and_then(vault::Value::into_text);
    stored
        .and_then(|text| json::read(&text).ok())
        .unwrap_or_default()
}

pub(super) async fn load_current(vault: &Vault) -> Option<GardenId> {
    vault
        .read(Store::Meta, CURRENT_KEY)
        .await
        .ok()
        .flatten()?
        .into_text()?
        .parse()
        .ok()
}

pub(super) async fn save_current(vault: &Vault, garden: GardenId) -> Result<(), Trouble> {
    vault
        .commit(
            &[Write::text(Store::Meta, CURRENT_KEY, garden.to_string())],
            Durability::Strict,
        )
        .await
}

async fn save_account(vault: &Vault, account: &Account) -> Result<(), Trouble> {
    let text = json::write(account);
    vault
        .commit(
            &[Write::text(Store::Meta, ACCOUNT_KEY, text)],
            Durability::Relaxed,
        )
        .await
}
