//! From a garden's records to the arithmetic of shares, and back to what is frozen when an order or job is closed.
//!
//! The screens preview with the same functions that the service closes with.

use std::collections::BTreeMap;

use super::Garden;
use super::ids::{BedId, MemberId};
use super::records::{ClosedBed, ClosedOrder, ClosedShare, Job, Order, Payer};
use crate::quantities::{Day, Minutes, Units};
use crate::reckoning::{Reckoning, Refusal};
use crate::shares::hours::{HoursCase, HoursShares};
use crate::shares::load::{LoadCase, LoadShares};
use crate::shares::{LoadBed, hours, load};

/// The shares of an order over the beds as they are now.
pub fn order(
    garden: &Garden,
    order: &Order,
) -> Result<Reckoning<LoadShares<BedId, MemberId>>, Refusal> {
    load::share(&load_case(garden, order)?)
}

/// An order as a case for the arithmetic.
pub fn load_case(garden: &Garden, order: &Order) -> Result<LoadCase<BedId, MemberId>, Refusal> {
    let profile = garden
        .profile
        .as_ref()
        .ok_or_else(|| Refusal::bad("garden", "a garden with its profile", ""))?;
    Ok(LoadCase {
        material: order.material.clone(),
        rate: order.rate,
        beds: beds(garden, &order.beds_left_out),
        bag: order.bag,
        bag_price: order.bag_price,
        delivery: order.delivery,
        currency: profile.currency,
        units: profile.units,
    })
}

/// The hours due of a job over the beds as they are now.
pub fn job(garden: &Garden, job: &Job) -> Result<Reckoning<HoursShares<MemberId>>, Refusal> {
    hours::share(&HoursCase {
        title: job.title.clone(),
        total: job.total,
        beds: beds(garden, &job.beds_left_out),
        units: units(garden),
    })
}

/// The open beds that are not left out, by label.
fn beds(garden: &Garden, left_out: &BTreeMap<BedId, bool>) -> Vec<LoadBed<BedId, MemberId>> {
    garden
        .open_beds()
        .into_iter()
        .filter(|(id, _)| !left_out.get(id).copied().unwrap_or(false))
        .map(|(id, bed)| LoadBed {
            bed: id,
            label: bed.label.clone(),
            area: bed.outline.area(),
            holders: bed.held_by().collect(),
        })
        .collect()
}

/// What is frozen when an order is closed.
pub fn freeze(garden: &Garden, on: Day, shares: &LoadShares<BedId, MemberId>) -> ClosedOrder {
    let beds = shares
        .beds
        .iter()
        .map(|part| {
            let holders = garden
                .beds
                .get(&part.bed)
                .map(|bed| bed.held_by().collect())
                .unwrap_or_default();
            (
                part.bed,
                ClosedBed {
                    label: part.label.clone(),
                    area: part.area,
                    mass: part.mass,
                    holders,
                },
            )
        })
        .collect();
    let accounts = shares
        .accounts
        .iter()
        .map(|part| {
            let payer = Payer::from(part.account);
            let share = ClosedShare {
                name: payer_name(garden, payer),
                area: part.area,
                mass: part.mass,
                bags: part.bags,
                goods: part.goods,
                delivery: part.delivery,
                pays: part.pays,
            };
            (payer, share)
        })
        .collect();
    ClosedOrder {
        on,
        need: shares.need,
        bags: shares.bags,
        total: shares.total,
        beds,
        shares: accounts,
    }
}

/// What is frozen when a job is closed: minutes due by account.
pub fn hours_due(shares: &HoursShares<MemberId>) -> BTreeMap<String, Minutes> {
    shares
        .accounts
        .iter()
        .map(|part| (Payer::from(part.account).to_string(), part.due))
        .collect()
}

/// A mark of the shares of a load: it differs when anything that a member gets or pays differs.
pub fn mark_of_load(shares: &LoadShares<BedId, MemberId>) -> String {
    let mut mark = Mark::new();
    mark.number(shares.need.grams());
    mark.number(shares.bags);
    mark.number(shares.total.minor());
    for part in &shares.beds {
        mark.bytes(part.bed.as_bytes());
        mark.number(part.area.mm2());
        mark.number(part.mass.grams());
    }
    for part in &shares.accounts {
        mark.payer(Payer::from(part.account));
        mark.number(part.mass.grams());
        mark.number(part.bags);
        mark.number(part.pays.minor());
    }
    mark.text()
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

/// What to call an account.
pub fn payer_name(garden: &Garden, payer: Payer) -> String {
    match payer {
        Payer::Garden => "Garden, common beds".to_owned(),
        Payer::Member(member) => garden.name_of(member).to_owned(),
    }
}

pub(super) fn units(garden: &Garden) -> Units {
    garden
        .profile
        .as_ref()
        .map_or(Units::Metric, |profile| profile.units)
}

/// A 64-bit FNV-1a sum. It guards against closing unseen changes, not against malice: who may close may see.
struct Mark(u64);

impl Mark {
    fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }

    fn number(&mut self, number: i64) {
        self.bytes(&number.to_le_bytes());
    }

    fn payer(&mut self, payer: Payer) {
        self.bytes(payer.to_string().as_bytes());
    }

    fn text(&self) -> String {
        format!("{:016x}", self.0)
    }
}
