//! A person's calendar link: one at a time, known only by its hash, taken back whenever they like.

use selion_core::document::calendar::{self, Promise};
use selion_core::document::ids::GardenId;
use selion_core::quantities::Moment;
use serde::Serialize;

use crate::auth::Caller;
use crate::error::AppError;
use crate::rooms::Desk;
use crate::secret::Secret;
use crate::store::Read;
use crate::store::rows::{Feed, Write};

/// A link that was made; its secret is shown this once.
#[derive(Debug)]
pub struct MadeFeed {
    /// What stands in the link.
    pub secret: Secret,
    /// When it was made.
    pub made_at: Moment,
}

/// That there is a link, without its secret.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShownFeed {
    /// When it was made.
    pub made_at: Moment,
}

/// What one garden puts into a person's calendar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FeedGarden {
    /// What the garden is called.
    pub name: String,
    /// What the person has promised there, with the label of the bed.
    pub promises: Vec<(Promise, Option<String>)>,
}

/// Makes a link; a former one stops. A device that is limited to a garden makes a link with the same limit.
pub fn make_feed(desk: &mut Desk<'_>, caller: Caller) -> Result<MadeFeed, AppError> {
    let secret = Secret::for_device();
    let feed = Feed {
        secret: secret.hash(),
        person: caller.person,
        garden: caller.only_garden,
        made_at: desk.now,
        revoked_at: None,
    };
    desk.store.commit(&[
        Write::RevokeFeeds(caller.person, desk.now),
        Write::AddFeed(feed),
    ])?;
    Ok(MadeFeed {
        secret,
        made_at: desk.now,
    })
}

/// Takes the link back, if there is one.
pub fn revoke_feed(desk: &mut Desk<'_>, caller: Caller) -> Result<(), AppError> {
    Ok(desk
        .store
        .commit(&[Write::RevokeFeeds(caller.person, desk.now)])?)
}

/// The caller's link, if there is one.
pub fn feed(read: &dyn Read, caller: Caller) -> Result<Option<ShownFeed>, AppError> {
    let feed = read.feed_of(caller.person)?;
    Ok(feed.map(|feed| ShownFeed {
        made_at: feed.made_at,
    }))
}

/// What stands in the calendar behind a secret. A secret that was never made and one that was taken back look the same.
pub fn feed_content(desk: &mut Desk<'_>, secret: &Secret) -> Result<Vec<FeedGarden>, AppError> {
    let feed = desk.store.feed_by_secret(&secret.hash())?;
    let feed = feed
        .filter(|feed| feed.revoked_at.is_none())
        .ok_or(AppError::NotFound("There is no such calendar."))?;
    let wanted = |garden: GardenId| feed.garden.is_none_or(|only| only == garden);
    let mut gardens = Vec::new();
    for membership in desk.store.memberships_of(feed.person)? {
        if !wanted(membership.garden) {
            continue;
        }
        let picture = desk.hall.picture(desk.store.as_read(), membership.garden)?;
        let promises = calendar::promises(picture, membership.member);
        let label = |promise: &Promise| {
            let bed = promise.bed.and_then(|bed| picture.beds.get(&bed));
            bed.map(|bed| bed.label.clone())
        };
        gardens.push(FeedGarden {
            name: (picture.profile.as_ref())
                .map_or_else(String::new, |profile| profile.name.clone()),
            promises: promises
                .into_iter()
                .map(|promise| {
                    let bed = label(&promise);
                    (promise, bed)
                })
                .collect(),
        });
    }
    Ok(gardens)
}
