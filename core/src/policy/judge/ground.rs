//! Edits of the ground document: profile, people, beds.

use super::{Case, Verdict, already_there, ended, not_there, write};
use crate::document::Edit;
use crate::document::edit::{BedField, MemberField, ProfileField};
use crate::document::ids::{BedId, MemberId};
use crate::document::records::{Bed, Member, Role};
use crate::document::stored::Write;
use crate::ordered::Map;
use crate::policy::{RefusalCode, Refused};

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::ChangeProfile { set } => change_profile(case, set),
        Edit::OpenYear { year } => set_year(case, *year, true),
        Edit::CloseYear { year } => close_year(case, *year),
        Edit::AddMember { member, name, role } => {
            if case.garden.members.contains_key(member) {
                return Err(already_there("person"));
            }
            write(Write::Member(
                *member,
                Member {
                    name: name.clone(),
                    role: *role,
                    ended_on: None,
                },
            ))
        }
        Edit::ChangeMember { member, set } => change_member(case, *member, set),
        Edit::AddBed {
            bed,
            label,
            outline,
            holders,
        } => {
            if case.garden.beds.contains_key(bed) {
                return Err(already_there("bed"));
            }
            check_label(case, None, label)?;
            check_holders(case, holders)?;
            let record = Bed {
                label: label.clone(),
                outline: outline.clone(),
                holders: holders.clone(),
                note: String::new(),
                ended_on: None,
            };
            write(Write::Bed(*bed, record))
        }
        Edit::ChangeBed { bed, set } => change_bed(case, *bed, set),
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong into the ground.",
        )),
    }
}

fn change_profile(case: &Case<'_>, set: &[ProfileField]) -> Verdict {
    let mut profile = case
        .garden
        .profile
        .as_deref()
        .cloned()
        .ok_or_else(|| not_there("profile"))?;
    for field in set {
        match field {
            ProfileField::Name(name) => profile.name.clone_from(name),
            ProfileField::Units(units) => profile.units = *units,
            ProfileField::Lime(lime) => profile.lime.clone_from(lime),
            ProfileField::Compost(compost) => profile.compost = *compost,
            ProfileField::Currency(currency) => {
                let has_money = case
                    .garden
                    .ledgers
                    .values()
                    .any(|ledger| !ledger.orders.is_empty() || !ledger.entries.is_empty());
                if has_money && *currency != profile.currency {
                    return Err(Refused::new(
                        RefusalCode::Closed,
                        format!(
                            "The currency stays {}: there are already orders or entries in it.",
                            profile.currency.code()
                        ),
                    ));
                }
                profile.currency = *currency;
            }
            ProfileField::TimeZone(zone) => profile.time_zone.clone_from(zone),
            ProfileField::NorthDegrees(degrees) => profile.north_degrees = *degrees,
            ProfileField::Rules(rules) => profile.rules = *rules,
            ProfileField::Latitude(latitude) => profile.latitude = *latitude,
            ProfileField::Backdrop(backdrop) => profile.backdrop = *backdrop,
            ProfileField::Frost(frost) => profile.frost.clone_from(frost),
            ProfileField::Accept(kinds) => {
                for (kind, accepted) in kinds {
                    profile.accept.insert(kind.clone(), *accepted);
                }
            }
        }
    }
    write(Write::Profile(profile))
}

/// The year that follows must be open before one is closed: there is always a season to work in.
fn close_year(case: &Case<'_>, year: i16) -> Verdict {
    let years = case.garden.profile.as_ref();
    let open = years
        .map(|profile| profile.open_years())
        .unwrap_or_default();
    if !open.contains(&year) {
        return Err(Refused::new(
            RefusalCode::YearNotOpen,
            format!("The year {year} is not open."),
        ));
    }
    if !open.iter().any(|other| *other > year) {
        return Err(Refused::new(
            RefusalCode::YearNotOpen,
            format!("Open the year after {year} first, so that there is one to work in."),
        ));
    }
    set_year(case, year, false)
}

fn set_year(case: &Case<'_>, year: i16, open: bool) -> Verdict {
    let mut profile = case
        .garden
        .profile
        .as_deref()
        .cloned()
        .ok_or_else(|| not_there("profile"))?;
    profile.years.insert(format!("{year:04}"), open);
    write(Write::Profile(profile))
}

fn change_member(case: &Case<'_>, member: MemberId, set: &[MemberField]) -> Verdict {
    let mut record = Member::clone(
        case.garden
            .members
            .get(&member)
            .ok_or_else(|| not_there("person"))?,
    );
    let was_coordinator = record.role == Role::Coordinator && record.ended_on.is_none();
    for field in set {
        match field {
            MemberField::Name(name) => record.name.clone_from(name),
            MemberField::Role(role) => record.role = *role,
            MemberField::EndedOn(day) => record.ended_on = *day,
        }
    }
    let still_coordinator = record.role == Role::Coordinator && record.ended_on.is_none();
    let others = case.garden.members.iter().any(|(id, other)| {
        *id != member && other.role == Role::Coordinator && other.ended_on.is_none()
    });
    if was_coordinator && !still_coordinator && !others {
        return Err(Refused::new(
            RefusalCode::LastCoordinator,
            format!(
                "{} is the only coordinator; make somebody else coordinator first.",
                record.name
            ),
        ));
    }
    write(Write::Member(member, record))
}

fn change_bed(case: &Case<'_>, bed: BedId, set: &[BedField]) -> Verdict {
    let mut record = Bed::clone(case.garden.beds.get(&bed).ok_or_else(|| not_there("bed"))?);
    let taken_up_again = set
        .iter()
        .any(|field| matches!(field, BedField::EndedOn(None)));
    if record.ended_on.is_some() && !taken_up_again {
        return Err(ended(&format!("Bed {}", record.label), "was given up"));
    }
    for field in set {
        match field {
            BedField::Label(label) => record.label.clone_from(label),
            BedField::Outline(outline) => record.outline = outline.clone(),
            BedField::Holders(holders) => {
                check_holders(case, holders)?;
                record.holders.clone_from(holders);
            }
            BedField::EndedOn(day) => record.ended_on = *day,
        }
    }
    if record.ended_on.is_none() {
        check_label(case, Some(bed), &record.label)?;
    }
    write(Write::Bed(bed, record))
}

/// Two beds with the same label would be taken for one another.
pub(super) fn check_label(case: &Case<'_>, bed: Option<BedId>, label: &str) -> Result<(), Refused> {
    let same = |other: &str| other.trim().eq_ignore_ascii_case(label.trim());
    if case
        .garden
        .open_beds()
        .iter()
        .any(|(id, other)| Some(*id) != bed && same(&other.label))
    {
        return Err(Refused::new(
            RefusalCode::AlreadyThere,
            format!("label: there already is a bed called {}.", label.trim()),
        ));
    }
    Ok(())
}

pub(super) fn check_holders(case: &Case<'_>, holders: &Map<MemberId, u32>) -> Result<(), Refused> {
    for member in holders.keys() {
        match case.garden.members.get(member) {
            None => return Err(not_there("person")),
            Some(record) if record.ended_on.is_some() => {
                return Err(ended(&record.name, "left the garden"));
            }
            Some(_) => {}
        }
    }
    Ok(())
}
