//! From a garden's records to the arithmetic of shares, and back to what is frozen when an order or job is closed.
//!
//! The screens preview with the same functions that the service closes with.

mod frozen;
mod mark;
mod order;

use self::mark::Mark;
use super::Garden;
use super::ids::{BedId, MemberId};
use super::records::{Job, Payer};
use crate::ordered::Map;
use crate::quantities::{Minutes, Money, Units};
use crate::reckoning::{Reckoning, Refusal};
use crate::shares::hours::{HoursCase, HoursShares};
use crate::shares::{LoadBed, hours};

pub use frozen::{Came, freeze, frozen, invoiced};
pub use order::{
    Case, Compared, Shares, Standing, compare, mark_of_order, order, order_case, price_of, standing,
};

/// The hours due of a job over the beds as they are now.
pub fn job(garden: &Garden, job: &Job) -> Result<Reckoning<HoursShares<MemberId>>, Refusal> {
    let rules = garden.profile.as_ref().map(|profile| profile.rules);
    hours::share(&HoursCase {
        by_area: rules.unwrap_or_default().hours_by_area,
        title: job.title.clone(),
        total: job.total,
        beds: beds(garden)
            .into_iter()
            .filter(|bed| !job.beds_left_out.get(&bed.bed).copied().unwrap_or(false))
            .collect(),
        units: units(garden),
    })
}

/// The open beds, by label.
fn beds(garden: &Garden) -> Vec<LoadBed<BedId, MemberId>> {
    garden
        .open_beds()
        .into_iter()
        .map(|(id, bed)| LoadBed {
            bed: id,
            label: bed.label.clone(),
            area: bed.outline.area(),
            holders: bed.held_by().collect(),
        })
        .collect()
}

/// What is frozen when a job is closed: minutes due by account.
pub fn hours_due(shares: &HoursShares<MemberId>) -> Map<String, Minutes> {
    shares
        .accounts
        .iter()
        .map(|part| (Payer::from(part.account).to_string(), part.due))
        .collect()
}

/// A mark of the hours due: it differs when anybody's hours differ.
pub fn mark_of_hours(shares: &HoursShares<MemberId>) -> String {
    let mut mark = Mark::new();
    for part in &shares.accounts {
        mark.payer(Payer::from(part.account));
        mark.number(part.due.get());
    }
    mark.text()
}

/// A mark of what every account owes.
pub fn mark_of_balances(balances: &Map<Payer, Money>) -> String {
    let mut mark = Mark::new();
    for (payer, owed) in balances {
        mark.payer(*payer);
        mark.number(owed.minor());
    }
    mark.text()
}

/// What to call an account.
pub fn payer_name(garden: &Garden, payer: Payer) -> String {
    match payer {
        Payer::Garden => "Garden, common beds".to_owned(),
        Payer::Supplier => "Suppliers".to_owned(),
        Payer::Member(member) => garden.name_of(member).to_owned(),
    }
}

pub(super) fn units(garden: &Garden) -> Units {
    garden
        .profile
        .as_ref()
        .map_or(Units::Metric, |profile| profile.units)
}
