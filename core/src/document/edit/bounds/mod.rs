//! How large an edit may be. Checked before anything else looks at it, on the phone and at the service alike.

mod ground;
mod order;
mod plan;
mod soil;

use super::{BedField, Edit, JobField, MemberField, ProfileField, TaskField};
use crate::document::records::Gate;
use crate::ordered::Map;
use crate::quantities::{BadInput, Day, Mass, Minutes, Money};

/// The size limits of edits.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// A whole envelope as text.
    pub envelope_bytes: usize,
    /// A name, title or label.
    pub title_chars: usize,
    /// A word about something.
    pub word_chars: usize,
    /// A note.
    pub note_chars: usize,
    /// Places of a task.
    pub places: u32,
    /// Minutes of one person's task or log.
    pub minutes: i64,
    /// Minutes of a whole job.
    pub job_minutes: i64,
    /// Turns put up at once.
    pub turns: usize,
    /// Entries of a map within an edit: holders, beds left out, gates.
    pub entries: usize,
    /// Fields set at once.
    pub fields: usize,
    /// Parts that one holder has of a bed.
    pub parts: u32,
}

/// The limits in force.
pub const LIMITS: Limits = Limits {
    envelope_bytes: 48 * 1024,
    title_chars: 120,
    word_chars: 400,
    note_chars: 8_000,
    places: 200,
    minutes: 24 * 60,
    job_minutes: 100_000 * 60,
    turns: 120,
    entries: 500,
    fields: 16,
    parts: 1_000,
};

type Checked = Result<(), BadInput>;

impl Edit {
    /// Whether the edit keeps the size limits, whatever the garden is.
    pub fn check_bounds(&self) -> Checked {
        self.first_bounds().unwrap_or_else(|| self.other_bounds())
    }

    /// The same for the edits of a phone's first screens, without what all others need.
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the list of all others is below"
    )]
    pub(crate) fn first_bounds(&self) -> Option<Checked> {
        match self {
            Self::WriteNote { text, base, .. } => Some(
                no_longer("note", text, LIMITS.note_chars)
                    .and_then(|()| count("heads", base.heads.len(), 64)),
            ),
            Self::Done {
                minutes, word, on, ..
            } => Some(
                person_minutes(*minutes)
                    .and_then(|()| no_longer("word", word, LIMITS.word_chars))
                    .and_then(|()| sensible_day(*on)),
            ),
            Self::Claim { .. }
            | Self::GiveBack { .. }
            | Self::HandOver { .. }
            | Self::NotDone { .. } => Some(Ok(())),
            _other => None,
        }
    }

    #[expect(clippy::too_many_lines, reason = "one arm an edit")]
    fn other_bounds(&self) -> Checked {
        match self {
            Self::ChangeProfile { set } => each(set, profile_field),
            Self::OpenYear { year } | Self::CloseYear { year } => {
                within("year", i64::from(*year), 2000, 2200)
            }
            Self::AddMember { name, .. } => title("name", name),
            Self::ChangeMember { set, .. } => each(set, member_field),
            Self::AddBed { label, holders, .. } => {
                title("label", label)?;
                holder_parts(holders.values())
            }
            Self::ChangeBed { set, .. } => each(set, bed_field),
            Self::MergeBeds { holders, .. } => holder_parts(holders.values()),
            Self::SplitBed { pieces, .. } => ground::pieces(pieces),
            Self::AddStructure { label, .. } => title("label", label),
            Self::DrawStructure { label, what, .. } => {
                title("label", label)?;
                ground::facts(what)
            }
            Self::ChangeStructure { set, .. } => each(set, ground::structure_field),
            Self::ChangeFenceLine { set, .. } => each(set, ground::fence_field),
            Self::AddFenceLine { label, gates, .. } => {
                title("label", label)?;
                fence_gates(gates)
            }
            Self::KeepCrop { record, .. } => plan::crop(record),
            Self::KeepRecipient { record, .. } => plan::recipient(record),
            Self::Plant { plantings, .. } => plan::plantings(plantings),
            Self::ChangePlanting { set, .. } => each(set, plan::planting_field),
            Self::MoveSeries { days, .. } => within("days", *days, -400, 400),
            Self::AcceptProposal { accepted, .. } | Self::SetProposalAside { accepted, .. } => {
                plan::accepted(accepted)
            }
            Self::LogHarvest { harvest, .. } => plan::harvest(harvest),
            Self::NoteWeather { readings } => plan::readings(readings),
            Self::AddTask {
                title: name,
                places,
                minutes,
                note,
                ..
            } => {
                title("title", name)?;
                task_places(*places)?;
                person_minutes(*minutes)?;
                no_longer("note", note, LIMITS.note_chars)
            }
            Self::ChangeTask { set, .. } => each(set, task_field),
            Self::AddTurns { turns } => within(
                "turns",
                i64::try_from(turns.len()).unwrap_or(i64::MAX),
                1,
                i64::try_from(LIMITS.turns).unwrap_or(0),
            ),
            Self::LogPicking {
                crop, mass, word, ..
            } => {
                title("crop", crop)?;
                within("weight in grams", mass.grams(), 0, 10_000_000)?;
                no_longer("word", word, LIMITS.word_chars)
            }
            Self::AddJob {
                title: name,
                total,
                beds_left_out,
                ..
            } => {
                title("title", name)?;
                job_total(*total)?;
                count("beds left out", beds_left_out.len(), LIMITS.entries)
            }
            Self::ChangeJob { set, .. } => each(set, job_field),
            Self::CloseJob { seen, .. }
            | Self::CloseOrder { seen, .. }
            | Self::CarryOver { seen, .. } => no_longer("seen", seen, 64),
            Self::LogHours { minutes, word, .. } => {
                within("minutes", minutes.get(), 1, LIMITS.minutes)?;
                no_longer("word", word, LIMITS.word_chars)
            }
            Self::AddOrder { new, .. } => order::new_order(new),
            Self::AskFor { amount, .. } => order::amount("amount asked for", *amount),
            Self::EnterInvoice {
                delivered,
                delivery,
                none_for,
                seen,
                word,
                ..
            } => {
                order::invoice(delivered, none_for)?;
                money("delivery", *delivery)?;
                no_longer("seen", seen, 64)?;
                no_longer("word", word, LIMITS.word_chars)
            }
            Self::ChangeOrder { set, .. } => each(set, order::field),
            Self::AddEntry { amount, word, .. } => {
                within("amount", amount.minor(), 1, MOST_MONEY)?;
                no_longer("word", word, LIMITS.word_chars)
            }
            Self::AskCoordinator { text, .. } => {
                some("request", text)?;
                no_longer("request", text, LIMITS.word_chars)
            }
            Self::AnswerRequest { word, .. } | Self::ReverseEntry { word, .. } => {
                no_longer("word", word, LIMITS.word_chars)
            }
            Self::AddSoilTest { sheet, .. } => soil::sheet(sheet),
            Self::SetBedCrops { now, next_year, .. } => {
                soil::crops("crops", now)?;
                soil::crops("next year's crops", next_year)
            }
            Self::LogAmendment {
                day,
                amount,
                dug_in_on,
                word,
                ..
            } => {
                amount.map_or(Ok(()), soil::amount)?;
                soil::not_before(*day, *dug_in_on)?;
                no_longer("word", word, LIMITS.word_chars)
            }
            Self::MarkPlanting { .. }
            | Self::ProposeAgain { .. }
            | Self::StrikeWeather { .. }
            | Self::EndStructure { .. }
            | Self::EndFenceLine { .. }
            | Self::WriteNote { .. }
            | Self::Claim { .. }
            | Self::GiveBack { .. }
            | Self::HandOver { .. }
            | Self::Done { .. }
            | Self::NotDone { .. }
            | Self::EndTurn { .. }
            | Self::StrikePicking { .. }
            | Self::StrikeHours { .. }
            | Self::StrikeSoilTest { .. }
            | Self::DigIn { .. }
            | Self::StrikeAmendment { .. }
            | Self::HandOut { .. }
            | Self::ConfirmEntry { .. } => Ok(()),
        }?;
        self.days().into_iter().try_for_each(sensible_day)
    }

    /// Every day that the edit names.
    fn days(&self) -> Vec<Day> {
        match self {
            Self::MergeBeds { on, .. }
            | Self::MarkPlanting { on, .. }
            | Self::ProposeAgain { on, .. }
            | Self::StrikeWeather { on, .. }
            | Self::EndStructure { on, .. }
            | Self::EndFenceLine { on, .. }
            | Self::Done { on, .. }
            | Self::EndTurn { on, .. }
            | Self::StrikePicking { on, .. }
            | Self::StrikeHours { on, .. }
            | Self::StrikeSoilTest { on, .. }
            | Self::DigIn { on, .. }
            | Self::StrikeAmendment { on, .. }
            | Self::CloseJob { on, .. }
            | Self::CloseOrder { on, .. }
            | Self::EnterInvoice { on, .. }
            | Self::HandOut { on, .. }
            | Self::AnswerRequest { on, .. }
            | Self::CarryOver { on, .. } => vec![*on],
            Self::LogPicking { day, .. }
            | Self::LogHours { day, .. }
            | Self::AddEntry { day, .. }
            | Self::AskCoordinator { day, .. }
            | Self::ReverseEntry { day, .. } => vec![*day],
            Self::AddSoilTest { sheet, .. } => vec![sheet.sampled_on],
            Self::LogAmendment { day, dug_in_on, .. } => {
                std::iter::once(*day).chain(*dug_in_on).collect()
            }
            Self::Plant { plantings, .. } => plantings.values().flat_map(plan::days_of).collect(),
            Self::AcceptProposal { accepted, .. } => vec![accepted.day],
            Self::SetProposalAside { accepted, on, .. } => vec![accepted.day, *on],
            Self::LogHarvest { harvest, .. } => vec![harvest.day],
            Self::NoteWeather { readings } => {
                readings.values().map(|reading| reading.day).collect()
            }
            Self::AddTask { day, .. } => day.iter().copied().collect(),
            Self::AddTurns { turns } => turns.iter().map(|turn| turn.day).collect(),
            Self::ChangeProfile { .. }
            | Self::OpenYear { .. }
            | Self::AddMember { .. }
            | Self::ChangeMember { .. }
            | Self::AddBed { .. }
            | Self::ChangeBed { .. }
            | Self::CloseYear { .. }
            | Self::KeepCrop { .. }
            | Self::KeepRecipient { .. }
            | Self::ChangePlanting { .. }
            | Self::MoveSeries { .. }
            | Self::SplitBed { .. }
            | Self::AddStructure { .. }
            | Self::DrawStructure { .. }
            | Self::ChangeStructure { .. }
            | Self::AddFenceLine { .. }
            | Self::ChangeFenceLine { .. }
            | Self::WriteNote { .. }
            | Self::ChangeTask { .. }
            | Self::Claim { .. }
            | Self::GiveBack { .. }
            | Self::HandOver { .. }
            | Self::NotDone { .. }
            | Self::AddJob { .. }
            | Self::ChangeJob { .. }
            | Self::AskFor { .. }
            | Self::ConfirmEntry { .. }
            | Self::ChangeOrder { .. }
            | Self::SetBedCrops { .. } => Vec::new(),
            Self::AddOrder { new, .. } => new.closes_on.into_iter().collect(),
        }
    }
}

/// More money than any garden spends, in minor units; it keeps sums far from overflow.
const MOST_MONEY: i64 = 1_000_000_000_000;

fn each<F>(set: &[F], check: fn(&F) -> Checked) -> Checked {
    within(
        "fields",
        i64::try_from(set.len()).unwrap_or(i64::MAX),
        1,
        i64::try_from(LIMITS.fields).unwrap_or(0),
    )?;
    set.iter().try_for_each(check)
}

fn profile_field(field: &ProfileField) -> Checked {
    match field {
        ProfileField::Name(name) => title("name", name),
        ProfileField::TimeZone(zone) => title("place on the clock", zone),
        ProfileField::NorthDegrees(degrees) => within("north", *degrees, 0, 359),
        ProfileField::Lime(lime) => lime.as_ref().map_or(Ok(()), soil::lime),
        ProfileField::Compost(compost) => compost.as_ref().map_or(Ok(()), soil::compost),
        ProfileField::Rules(rules) => {
            money("hour in lieu", rules.hour_in_lieu)?;
            within("percent by bed area", rules.hours_by_area, 0, 100)
        }
        ProfileField::Frost(frost) => frost.as_ref().map_or(Ok(()), plan::frost),
        ProfileField::Accept(kinds) => plan::kinds(kinds),
        ProfileField::Backdrop(backdrop) => backdrop.as_ref().map_or(Ok(()), ground::backdrop),
        ProfileField::Latitude(latitude) => latitude.map_or(Ok(()), |latitude| {
            within(
                "latitude in thousandths of a degree",
                latitude.millidegrees(),
                -90_000,
                90_000,
            )
        }),
        ProfileField::Units(_) | ProfileField::Currency(_) => Ok(()),
    }
}

fn member_field(field: &MemberField) -> Checked {
    match field {
        MemberField::Name(name) => title("name", name),
        MemberField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        MemberField::Role(_) => Ok(()),
    }
}

fn bed_field(field: &BedField) -> Checked {
    match field {
        BedField::Label(label) => title("label", label),
        BedField::Holders(holders) => holder_parts(holders.values()),
        BedField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        BedField::Outline(_) => Ok(()),
    }
}

fn task_field(field: &TaskField) -> Checked {
    match field {
        TaskField::Title(name) => title("title", name),
        TaskField::Places(places) => task_places(*places),
        TaskField::Minutes(minutes) => person_minutes(*minutes),
        TaskField::Day(day) | TaskField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        TaskField::Bed(_) | TaskField::Job(_) => Ok(()),
    }
}

fn job_field(field: &JobField) -> Checked {
    match field {
        JobField::Title(name) => title("title", name),
        JobField::Total(total) => job_total(*total),
        JobField::BedsLeftOut(beds) => count("beds left out", beds.len(), LIMITS.entries),
        JobField::EndedOn(day) => day.map_or(Ok(()), sensible_day),
        JobField::Fence(_) => Ok(()),
    }
}

fn fence_gates(gates: &Map<String, Gate>) -> Checked {
    count("gates", gates.len(), LIMITS.entries)?;
    gates.iter().try_for_each(|(key, gate)| {
        title("gate", key)?;
        within("gate width", gate.width.mm(), 1, 50_000)?;
        within("gate place", gate.at.mm(), 0, 100_000_000)
    })
}

fn bag_mass(bag: Mass) -> Checked {
    within("bag in grams", bag.grams(), 1, 2_000_000)
}

fn money(field: &str, amount: Money) -> Checked {
    within(field, amount.minor(), 0, MOST_MONEY)
}

fn job_total(total: Minutes) -> Checked {
    within("total minutes", total.get(), 1, LIMITS.job_minutes)
}

fn person_minutes(minutes: Minutes) -> Checked {
    within("minutes", minutes.get(), 0, LIMITS.minutes)
}

fn task_places(places: u32) -> Checked {
    within("places", i64::from(places), 1, i64::from(LIMITS.places))
}

fn holder_parts<'a>(parts: impl ExactSizeIterator<Item = &'a u32>) -> Checked {
    count("holders", parts.len(), LIMITS.entries)?;
    let mut parts = parts;
    parts.try_for_each(|parts| within("parts", i64::from(*parts), 1, i64::from(LIMITS.parts)))
}

/// A title, name or label: something, on one line, not too long.
fn title(field: &str, text: &str) -> Checked {
    no_longer(field, text, LIMITS.title_chars)?;
    some(field, text)?;
    if text.chars().any(char::is_control) {
        return Err(BadInput::new(
            field,
            "words on one line, without control characters",
            text,
        ));
    }
    Ok(())
}

fn some(field: &str, text: &str) -> Checked {
    if text.trim().is_empty() {
        return Err(BadInput::new(field, "some words", text));
    }
    Ok(())
}

fn no_longer(field: &str, text: &str, most: usize) -> Checked {
    let came = text.chars().count();
    if came > most {
        return Err(BadInput::new(
            field,
            format!("at most {most} characters"),
            format!("{came} characters"),
        ));
    }
    Ok(())
}

fn count(field: &str, came: usize, most: usize) -> Checked {
    if came > most {
        return Err(BadInput::new(
            field,
            format!("at most {most}"),
            came.to_string(),
        ));
    }
    Ok(())
}

fn within(field: &str, came: i64, least: i64, most: i64) -> Checked {
    if (least..=most).contains(&came) {
        return Ok(());
    }
    Err(BadInput::new(
        field,
        format!("a number from {least} to {most}"),
        came.to_string(),
    ))
}

fn sensible_day(day: Day) -> Checked {
    if (1900..=2200).contains(&day.year()) {
        return Ok(());
    }
    Err(BadInput::new(
        "day",
        "a day between 1900 and 2200",
        day.to_string(),
    ))
}
