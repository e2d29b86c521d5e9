//! The demonstration garden's harvest: who is given of it, what was picked in the units people use, and a bean that is due.

use selion_core::document::edit::{NewHarvest, NewPlanting};
use selion_core::document::ids::{BedId, MemberId, PickingId, PlantingId, RecipientId};
use selion_core::document::picked_in::PickedIn;
use selion_core::document::records::{Harvest, PlantingRows, Recipient, RecipientKind, StartsAs};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day};

use super::named;
use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// Who is given of the harvest: name, what they are, when to bring it.
const RECIPIENTS: [(&str, RecipientKind, &str); 2] = [
    (
        "Sorrel Lane pantry",
        RecipientKind::Nonprofit,
        "Tuesdays and Fridays until 6 pm at the side door; greens in closed boxes.",
    ),
    (
        "Odalys next door",
        RecipientKind::Neighbour,
        "Glad of anything for soup; knock after four.",
    ),
];
const PANTRY: usize = 0;
const NEIGHBOUR: usize = 1;

/// A picking: who, from which bed, how many days ago, what, in which unit.
struct Had {
    who: &'static str,
    bed: &'static str,
    days_ago: i64,
    crop: &'static str,
    unit: PickedIn,
    parts: Parts,
}

/// What became of it, as it would be typed; nothing where it is empty.
#[derive(Clone, Copy)]
struct Parts {
    kept: &'static str,
    shared: &'static str,
    given: Option<(usize, &'static str)>,
    lost: &'static str,
}

const NONE: Parts = Parts {
    kept: "",
    shared: "",
    given: None,
    lost: "",
};

const fn kept(amount: &'static str) -> Parts {
    Parts {
        kept: amount,
        ..NONE
    }
}

const fn given(to: usize, amount: &'static str) -> Parts {
    Parts {
        given: Some((to, amount)),
        ..NONE
    }
}

const fn had(
    who: &'static str,
    (bed, days_ago): (&'static str, i64),
    crop: &'static str,
    unit: PickedIn,
    parts: Parts,
) -> Had {
    Had {
        who,
        bed,
        days_ago,
        crop,
        unit,
        parts,
    }
}

use PickedIn::{Bunches, Bushels, Heads, Pieces, Pounds};

const PICKINGS: [Had; 14] = [
    had(
        "Farid",
        ("C4", 1),
        BEAN,
        Pounds,
        Parts {
            kept: "3",
            given: Some((PANTRY, "2.5")),
            ..NONE
        },
    ),
    had("Yuki", ("D3", 2), SQUASH, Pounds, given(PANTRY, "7")),
    had(
        "Wren",
        ("D2", 3),
        "raspberries",
        Pounds,
        Parts {
            shared: "1.5",
            lost: "0.5",
            ..NONE
        },
    ),
    had("Adaeze", ("B5", 3), "lettuce, leaf", Pounds, kept("1")),
    had(
        "Noor",
        ("D3", 4),
        SQUASH,
        Pounds,
        Parts {
            shared: "2",
            given: Some((NEIGHBOUR, "3")),
            ..NONE
        },
    ),
    had("Farid", ("C4", 4), BEAN, Pounds, kept("4.2")),
    had(
        "Marisol",
        ("C2", 5),
        "radish",
        Bunches,
        Parts {
            kept: "4",
            given: Some((PANTRY, "8")),
            ..NONE
        },
    ),
    had(
        "Tomasz",
        ("A3", 6),
        "lettuce, head",
        Heads,
        Parts {
            kept: "2",
            given: Some((PANTRY, "6")),
            lost: "1",
            ..NONE
        },
    ),
    had("Piet", ("E2", 8), "radish", Bunches, kept("3")),
    had(
        "Yuki",
        ("D3", 9),
        SQUASH,
        Bushels,
        Parts {
            shared: "0.25",
            given: Some((PANTRY, "0.75")),
            ..NONE
        },
    ),
    had(
        "Solvej",
        ("A5", 10),
        "kale",
        Pounds,
        Parts {
            kept: "1.5",
            given: Some((NEIGHBOUR, "1")),
            ..NONE
        },
    ),
    had(
        "Bram",
        ("B2", 11),
        "corn, sweet",
        Pieces,
        Parts {
            kept: "12",
            shared: "18",
            lost: "4",
            ..NONE
        },
    ),
    had("Noor", ("D3", 12), SQUASH, Pounds, given(PANTRY, "9")),
    had(
        "Wren",
        ("D2", 13),
        "raspberries",
        Pounds,
        Parts {
            shared: "2",
            ..NONE
        },
    ),
];
const BEAN: &str = "bean, bush snap";
const SQUASH: &str = "squash, summer";

/// Writes the harvest.
pub(super) fn make(desk: &mut Desk<'_>, hand: Hand, today: Day) -> Result<(), ByHandError> {
    let picture = desk
        .hall
        .picture(desk.store.as_read(), hand.garden)?
        .clone();
    let ids: Vec<RecipientId> = RECIPIENTS
        .iter()
        .map(|_| RecipientId::fresh(desk.now, chance::bytes()))
        .collect();
    let recipients = ids.iter().zip(RECIPIENTS).map(|(id, (name, kind, word))| {
        let record = Recipient {
            name: name.to_owned(),
            kind,
            word: word.to_owned(),
            ended_on: None,
        };
        (
            DocumentName::Ground,
            Edit::KeepRecipient {
                recipient: *id,
                record,
            },
        )
    });
    hand.make(desk, recipients.collect())?;
    let season = DocumentName::Season(today.year());
    let bean = bean(bed(&picture, "C4")?, today);
    let plantings = Map::from([(PlantingId::fresh(desk.now, chance::bytes()), bean)]);
    hand.make(
        desk,
        vec![(
            season,
            Edit::Plant {
                plantings,
                series: None,
            },
        )],
    )?;
    // Latest last, as people write things down.
    for one in PICKINGS.iter().rev() {
        let by: MemberId = named(&picture, one.who)?;
        let harvest = NewHarvest {
            bed: bed(&picture, one.bed)?,
            day: today.plus_days(-one.days_ago),
            crop: one.crop.to_owned(),
            planting: None,
            parts: harvest(one, &ids)?,
            turn: None,
            word: String::new(),
        };
        let picking = PickingId::fresh(desk.now, chance::bytes());
        let hand = Hand { member: by, ..hand };
        hand.make(desk, vec![(season, Edit::LogHarvest { picking, harvest })])?;
    }
    Ok(())
}

fn bed(garden: &Garden, label: &str) -> Result<BedId, ByHandError> {
    let beds = garden.open_beds();
    let found = beds.iter().find(|(_, bed)| bed.label == label);
    found
        .map(|(id, _)| *id)
        .ok_or_else(|| ByHandError::Asked(format!("there is no bed {label}")))
}

/// A bean that is picked now: the table asks for every 2 to 3 days, and its turns are a week apart.
fn bean(bed: BedId, today: Day) -> NewPlanting {
    NewPlanting {
        bed,
        crop: BEAN.to_owned(),
        cover: false,
        part: None,
        rows: PlantingRows::default(),
        start: today.plus_days(-65),
        starts_as: StartsAs::Sown,
        first_picking: Some(today.plus_days(-6)),
        last_picking: Some(today.plus_days(20)),
        word: String::new(),
    }
}

fn harvest(had: &Had, recipients: &[RecipientId]) -> Result<Harvest, ByHandError> {
    let read = |typed: &str| -> Result<i64, BadInput> {
        if typed.is_empty() {
            Ok(0)
        } else {
            had.unit.read(typed)
        }
    };
    let Parts {
        kept,
        shared,
        given,
        lost,
    } = had.parts;
    let (to, given) = given.unzip();
    let read = [kept, shared, given.unwrap_or_default(), lost].map(read);
    let [kept, shared, given, lost] = read;
    let counts = [kept?, shared?, given?, lost?];
    let stored = had.unit.stored(had.crop, &counts);
    let stored = stored.map_err(|refusal| ByHandError::Asked(refusal.to_string()))?;
    let part = |place: usize| stored.get(place).copied().unwrap_or(0);
    let to = to.and_then(|place| recipients.get(place));
    Ok(Harvest {
        unit: had.unit.stored_in(),
        kept: part(0),
        shared: part(1),
        given: to.map(|to| Map::from([(*to, part(2))])).unwrap_or_default(),
        given_otherwise: 0,
        lost: part(3),
    })
}
