//! What stays from year to year: the profile, the people, the land.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::soil::{GardenCompost, GardenLime};
use crate::document::ids::MemberId;
use crate::geometry::{Line, Outline};
use crate::quantities::{Currency, Day, Length, Money, Units};

/// The garden as a whole.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    #[serde(default)]
    pub north_degrees: i64,
    /// The years whose season and ledger are open for writing.
    #[serde(default)]
    pub years: BTreeMap<String, bool>,
    /// The lime that the garden buys, by its label.
    #[serde(default)]
    pub lime: Option<GardenLime>,
    /// The compost that it has.
    #[serde(default)]
    pub compost: Option<GardenCompost>,
    /// What the garden has agreed on about money and shared work.
    #[serde(default)]
    pub rules: GardenRules,
}

/// What a garden has agreed on about money and shared work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GardenRules {
    /// Whether members see each other's balances on their screens. Their phones hold the whole ledger either way, since
    /// everybody works their own balance out of it; who must not have it is a helper.
    #[serde(default)]
    pub balances_open: bool,
    /// What an hour of shared work stands for; nothing where work and money are not set against each other.
    #[serde(default)]
    pub hour_in_lieu: Money,
    /// How much of the hours of a shared job is due by bed area, in percent; the rest is due by head.
    #[serde(default = "all_by_area")]
    pub hours_by_area: i64,
}

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
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Plans the ground, orders in bulk, keeps people and roles.
    Coordinator,
    /// Holds a bed.
    Member,
    /// Comes to help, without a bed.
    Helper,
}

impl Role {
    /// Every role, the most trusted first.
    pub const ALL: [Self; 3] = [Self::Coordinator, Self::Member, Self::Helper];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Coordinator => "coordinator",
            Self::Member => "member",
            Self::Helper => "helper",
        }
    }
}

/// One person's place in the garden.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Member {
    /// What the others call them.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The day they left, if they did.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// An outline of ground with a holder, or common.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bed {
    /// Its short label, as on the stake.
    pub label: String,
    /// Its edge, in millimetres on the ground.
    pub outline: Outline,
    /// Who holds it, each with their number of parts; nobody for a common bed.
    #[serde(default)]
    pub holders: BTreeMap<MemberId, u32>,
    /// What people wrote about it.
    #[serde(default)]
    pub note: String,
    /// The day it was given up, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

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

/// Something on the ground that is not a bed: a shed, a path, a pond, the piles.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Structure {
    /// What it is.
    pub label: String,
    /// Its edge.
    pub outline: Outline,
    /// The day it went, if it did.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

/// A fence line with its gates.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FenceLine {
    /// What people call it.
    pub label: String,
    /// Where it runs.
    pub line: Line,
    /// Its gates, keyed `1`, `2`, ... in the order they were put in.
    #[serde(default)]
    pub gates: BTreeMap<String, Gate>,
    /// The day it was taken down, if it was.
    #[serde(default)]
    pub ended_on: Option<Day>,
}

impl FenceLine {
    /// Its gates in the order they were put in: `2` before `10`.
    pub fn gates_in_order(&self) -> Vec<Gate> {
        let mut gates: Vec<_> = self.gates.iter().collect();
        gates.sort_by_key(|(key, _)| (key.len(), key.as_str()));
        gates.into_iter().map(|(_, gate)| *gate).collect()
    }
}

/// An opening in a fence line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Gate {
    /// How far along the line it begins.
    pub at: Length,
    /// How wide it is.
    pub width: Length,
}
