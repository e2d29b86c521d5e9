//! What stays from year to year: the profile, the people, the land.

use std::collections::BTreeSet;

use super::backdrop::Backdrop;
use super::planting::GardenFrost;
use super::soil::{GardenCompost, GardenLime};
use crate::document::ids::MemberId;
use crate::geometry::{Line, Outline};
use crate::json::{Fields, Object, Record, Unreadable, one_object, put, record, serde_form, words};
use crate::ordered;
use crate::ordered::Map;
use crate::quantities::{Currency, Day, Latitude, Length, Money, Units};

/// The garden as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Profile {
    /// What people call it.
    pub name: String,
    /// The units that amounts are shown in.
    pub units: Units,
    /// The one currency of its orders and ledger.
    pub currency: Currency,
    /// Its place on the clock, an IANA time zone name such as `Europe/Lisbon`.
    pub time_zone: String,
    /// How far north lies from the top of the plan, in whole degrees clockwise.
    pub north_degrees: i64,
    /// The years whose season and ledger are open for writing.
    pub years: Map<String, bool>,
    /// The lime that the garden buys, by its label.
    pub lime: Option<GardenLime>,
    /// The compost that it has.
    pub compost: Option<GardenCompost>,
    /// What the garden has agreed on about money and shared work.
    pub rules: GardenRules,
    /// How far north it lies, for the length of its days.
    pub latitude: Option<Latitude>,
    /// Its frost dates.
    pub frost: Option<GardenFrost>,
    /// The kinds of proposals that become tasks without being asked for one by one.
    pub accept: Map<String, bool>,
    /// The photo or sketch under its plan, if there is one.
    pub backdrop: Option<Backdrop>,
}

record!(Profile {
    name,
    units,
    currency,
    time_zone,
    north_degrees = default,
    years = default,
    lime,
    compost,
    rules = default,
    latitude,
    frost,
    accept = default,
    backdrop,
});

/// What a garden has agreed on about money and shared work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GardenRules {
    /// Whether members see each other's balances on their screens. Their phones hold the whole ledger either way, since
    /// everybody works their own balance out of it; who must not have it is a helper.
    pub balances_open: bool,
    /// What an hour of shared work stands for; nothing where work and money are not set against each other.
    pub hour_in_lieu: Money,
    /// How much of the hours of a shared job is due by bed area, in percent; the rest is due by head.
    pub hours_by_area: i64,
}

impl Record for GardenRules {
    fn from_fields(fields: Fields<'_>) -> Result<Self, Unreadable> {
        let by_area: Option<i64> = fields.read("hours_by_area")?;
        Ok(Self {
            balances_open: fields.read_or_default("balances_open")?,
            hour_in_lieu: fields.read_or_default("hour_in_lieu")?,
            hours_by_area: by_area.unwrap_or_else(all_by_area),
        })
    }

    fn put_fields(&self, object: &mut Object) {
        put(object, "balances_open", &self.balances_open);
        put(object, "hour_in_lieu", &self.hour_in_lieu);
        put(object, "hours_by_area", &self.hours_by_area);
    }
}

one_object!(GardenRules);

fn all_by_area() -> i64 {
    100
}

impl Default for GardenRules {
    fn default() -> Self {
        Self {
            balances_open: false,
            hour_in_lieu: Money::ZERO,
            hours_by_area: all_by_area(),
        }
    }
}

impl Profile {
    /// The years that have been opened, earliest first.
    pub fn open_years(&self) -> BTreeSet<i16> {
        self.years
            .iter()
            .filter(|(_, open)| **open)
            .filter_map(|(year, _)| year.parse().ok())
            .collect()
    }
}

/// What somebody may do in a garden; the table is in [`crate::policy`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Plans the ground, orders in bulk, keeps people and roles.
    Coordinator,
    /// Holds a bed.
    Member,
    /// Comes to help, without a bed.
    Helper,
}

words!(Role { "coordinator" => Coordinator, "member" => Member, "helper" => Helper });
serde_form!(Profile);
serde_form!(Role);

impl Role {
    /// Every role, the most trusted first.
    pub const ALL: [Self; 3] = [Self::Coordinator, Self::Member, Self::Helper];

    /// The word for it.
    pub fn word(self) -> &'static str {
        self.key()
    }
}

/// One person's place in the garden.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// What the others call them.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The day they left, if they did.
    pub ended_on: Option<Day>,
}

record!(Member {
    name,
    role,
    ended_on
});

/// An outline of ground with a holder, or common.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bed {
    /// Its short label, as on the stake.
    pub label: String,
    /// Its edge, in millimetres on the ground.
    pub outline: Outline,
    /// Who holds it, each with their number of parts; nobody for a common bed.
    pub holders: Map<MemberId, u32>,
    /// What people wrote about it.
    pub note: String,
    /// The day it was given up, if it was.
    pub ended_on: Option<Day>,
}

record!(Bed { label, outline, holders = default, note = default, ended_on });

impl Bed {
    /// Those who hold at least one part of it.
    pub fn held_by(&self) -> impl Iterator<Item = (MemberId, u32)> + '_ {
        self.holders
            .iter()
            .filter(|(_, parts)| **parts > 0)
            .map(|(member, parts)| (*member, *parts))
    }

    /// Whether nobody in particular holds it.
    pub fn is_common(&self) -> bool {
        self.held_by().next().is_none()
    }

    /// Whether this person holds a part of it.
    pub fn is_held_by(&self, member: MemberId) -> bool {
        self.holders.get(&member).is_some_and(|parts| *parts > 0)
    }
}

/// A fence line with its gates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FenceLine {
    /// What people call it.
    pub label: String,
    /// Where it runs.
    pub line: Line,
    /// Its gates, keyed `1`, `2`, ... in the order they were put in.
    pub gates: Map<String, Gate>,
    /// The day it was taken down, if it was.
    pub ended_on: Option<Day>,
}

record!(FenceLine { label, line, gates = default, ended_on });

impl FenceLine {
    /// Its gates in the order they were put in: `2` before `10`.
    pub fn gates_in_order(&self) -> Vec<Gate> {
        let mut gates: Vec<_> = self.gates.iter().collect();
        ordered::sort_by_key(&mut gates, |(key, _)| (key.len(), key.as_str()));
        gates.into_iter().map(|(_, gate)| *gate).collect()
    }
}

/// An opening in a fence line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gate {
    /// How far along the line it begins.
    pub at: Length,
    /// How wide it is.
    pub width: Length,
}

record!(Gate { at, width });
