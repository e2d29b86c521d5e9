//! Whose money somebody sees on their screen.

use super::{Action, may};
use crate::document::Garden;
use crate::document::ids::MemberId;
use crate::document::records::Payer;

/// Whether somebody sees what an account owes and how that comes about.
///
/// Everybody but helpers sees their own account and the garden's; of others as the garden has agreed, and a coordinator
/// always. This governs screens and printed sheets: the ledger is one document, from which every member's phone works out
/// the totals and its own account, so what is hidden here is hidden from the eye, not from the phone.
pub fn may_see_balance(garden: &Garden, viewer: MemberId, whose: Payer) -> bool {
    let Some(member) = garden.open_member(viewer) else {
        return false;
    };
    if !may(member.role, Action::SeeLedger, false) {
        return false;
    }
    let agreed = garden
        .profile
        .as_ref()
        .is_some_and(|profile| profile.rules.balances_open);
    match whose {
        Payer::Member(other) => {
            other == viewer || agreed || may(member.role, Action::KeepLedger, false)
        }
        Payer::Garden | Payer::Supplier => true,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::document::records::{Member, Profile, Role};
    use crate::quantities::Moment;

    #[test]
    fn others_balances_are_seen_as_the_garden_has_agreed() {
        let id = |number| MemberId::fresh(Moment::from_millis(number), [0; 10]);
        let mut garden = Garden::default();
        let roles = [Role::Coordinator, Role::Member, Role::Helper];
        for (number, role) in (1..).zip(roles) {
            let member = Member {
                name: "Ines".to_owned(),
                role,
                ended_on: None,
            };
            garden.members.insert(id(number), Arc::new(member));
        }
        let mut profile: Profile = serde_json::from_value(serde_json::json!({
            "name": "Sorrel Bank", "units": "metric", "currency": "EUR", "time_zone": "UTC",
        }))
        .unwrap();
        let seen = |garden: &Garden| {
            [1, 2, 3].map(|viewer| {
                [1, 2].map(|whose| may_see_balance(garden, id(viewer), Payer::Member(id(whose))))
            })
        };
        garden.profile = Some(Arc::new(profile.clone()));
        assert_eq!(seen(&garden), [[true, true], [false, true], [false, false]]);
        profile.rules.balances_open = true;
        garden.profile = Some(Arc::new(profile));
        assert_eq!(seen(&garden), [[true, true], [true, true], [false, false]]);
        assert!(!may_see_balance(&garden, id(3), Payer::Garden));
    }
}
