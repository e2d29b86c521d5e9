//! What must hold after every single step.

use selion_core::document::Garden;
use selion_core::document::records::{ClaimState, Standing};

use super::World;
use super::people::too_many_hold;
use super::phone::places;

impl World {
    /// After the service took a turn.
    pub(super) fn after_turn(&mut self) {
        let Some(now) = self.service.picture() else {
            return;
        };
        assert_eq!(
            too_many_hold(&now),
            None,
            "more people hold a place than there are places"
        );
        nobody_is_displaced(&self.decided, &now);
        self.decided = now;
    }

    /// After an event on a phone.
    pub(super) fn after_event(&mut self, phone: usize) {
        self.phones[phone].remember_what_is_shown();
        let restored = self.service.restored > 0;
        let phone = &mut self.phones[phone];
        let Some(running) = &phone.running else {
            return;
        };
        let confirmed = running.copy.confirmed().garden();
        assert_eq!(
            too_many_hold(confirmed),
            None,
            "more people hold a place than there are places"
        );
        if !restored {
            // A backup may know less than was decided; people are told (see the final checks).
            nobody_is_displaced(&phone.before, confirmed);
        }
        phone.before = confirmed.clone();
    }
}

/// Whoever held a place still holds it, has done the work, or gave it back.
fn nobody_is_displaced(before: &Garden, after: &Garden) {
    for (of, was) in places(before) {
        let Some((_, is)) = places(after).find(|(other, _)| *other == of) else {
            continue;
        };
        for (claim, _, standing) in was.in_order() {
            if matches!(standing, Standing::StandsBy(_)) {
                continue;
            }
            let state = is.claims().get(&claim).map(|claim| claim.state);
            let standing = is
                .in_order()
                .into_iter()
                .find(|(id, ..)| *id == claim)
                .map(|(.., standing)| standing);
            let stays = matches!(standing, Some(Standing::Holds | Standing::Done));
            assert!(
                stays || state == Some(ClaimState::GivenBack),
                "{of:?} {claim} was displaced: {standing:?}"
            );
        }
    }
}
