//! [`Edit`]: every change a person can make, one variant each. There is no other way to change a document.
//!
//! An edit says what the person meant (*claim this*), never how the document is to look afterwards; so it can be judged
//! against whatever the document has become by the time it arrives. Every shape ever shipped can be read for ever: a
//! variant or field is added, none is taken away or given another meaning, and [`Envelope::VERSION`] counts the steps.

mod bounds;
mod envelope;
mod forms;
mod ground;
mod order;
mod plan;

pub use bounds::{LIMITS, Limits};
pub(crate) use envelope::why_unreadable;
pub use envelope::{Envelope, EnvelopeError};
pub use ground::{FenceField, Piece, StructureField};
pub use order::{NewOrder, OrderField};
pub use plan::{AcceptedTask, NewHarvest, NewPlanting, NewPlantings, PlantingField, Reading};

use super::ids::{
    AmendmentId, BedId, ClaimId, CropId, EditId, EntryId, FenceId, HoursId, JobId, LineId,
    MemberId, OrderId, PickingId, PlantingId, RecipientId, RequestId, SeriesId, SoilTestId,
    StructureId, TaskId, TurnId, WeatherId,
};
use super::records::{
    AmendmentKind, Amount, Backdrop, CameOf, EntryKind, GardenCompost, GardenCrop, GardenFrost,
    GardenLime, GardenRules, Gate, Payer, Picked, PlantingState, Recipient, Role, SoilSheet,
    StructureFacts,
};
use crate::geometry::{Line, Outline};
use crate::ordered::Map;
use crate::quantities::{self, Currency, Day, Latitude, Mass, Minutes, Money, Units};

/// One change a person makes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Edit {
    /// Change the garden's profile.
    ChangeProfile {
        /// The fields to set.
        set: Vec<ProfileField>,
    },
    /// Open a year: its season and its ledger.
    OpenYear {
        /// Which year.
        year: i16,
    },
    /// Close a year: its season and its ledger take nothing more. Opening it again is [`Edit::OpenYear`].
    CloseYear {
        /// Which year.
        year: i16,
    },
    /// Put somebody on the list of people.
    AddMember {
        /// Their new id.
        member: MemberId,
        /// What the others call them.
        name: String,
        /// What they may do.
        role: Role,
    },
    /// Change somebody's name or role, or let them leave or come back.
    ChangeMember {
        /// Whom.
        member: MemberId,
        /// The fields to set.
        set: Vec<MemberField>,
    },
    /// Put a bed on the ground.
    AddBed {
        /// Its new id.
        bed: BedId,
        /// Its short label.
        label: String,
        /// Its edge.
        outline: Outline,
        /// Who holds it, with their parts.
        holders: Map<MemberId, u32>,
    },
    /// Change a bed, give it up or take it up again.
    ChangeBed {
        /// Which.
        bed: BedId,
        /// The fields to set.
        set: Vec<BedField>,
    },
    /// Cut a bed into pieces; those that become beds of their own have the same holders.
    SplitBed {
        /// Which.
        bed: BedId,
        /// Its edge as the writer saw it; if it has changed since, the edit is refused.
        seen: Outline,
        /// The piece that stays the bed.
        outline: Outline,
        /// The others.
        pieces: Map<BedId, Piece>,
    },
    /// Join two beds that touch: the one takes the ground of the other, which is given up.
    MergeBeds {
        /// The bed that stays.
        bed: BedId,
        /// Its edge as the writer saw it.
        seen: Outline,
        /// The bed that is given up.
        with: BedId,
        /// Its edge as the writer saw it.
        seen_with: Outline,
        /// The edge around both.
        outline: Outline,
        /// Who holds it, with their parts.
        holders: Map<MemberId, u32>,
        /// On which day.
        on: Day,
    },
    /// Put something else on the ground, of no kind in particular.
    AddStructure {
        /// Its new id.
        structure: StructureId,
        /// What it is.
        label: String,
        /// Its edge.
        outline: Outline,
    },
    /// Put something on the ground that is drawn by its kind: a path, a water point, a tree.
    DrawStructure {
        /// Its new id.
        structure: StructureId,
        /// What people call it.
        label: String,
        /// Its edge.
        outline: Outline,
        /// What it is.
        what: StructureFacts,
    },
    /// Change a structure, take it off the ground or put it back.
    ChangeStructure {
        /// Which.
        structure: StructureId,
        /// The fields to set.
        set: Vec<StructureField>,
    },
    /// Take a structure off the ground.
    EndStructure {
        /// Which.
        structure: StructureId,
        /// On which day.
        on: Day,
    },
    /// Put a fence line on the ground.
    AddFenceLine {
        /// Its new id.
        fence: FenceId,
        /// What people call it.
        label: String,
        /// Where it runs.
        line: Line,
        /// Its gates.
        gates: Map<String, Gate>,
    },
    /// Change a fence line, take it down or put it up again.
    ChangeFenceLine {
        /// Which.
        fence: FenceId,
        /// The fields to set.
        set: Vec<FenceField>,
    },
    /// Take a fence line down.
    EndFenceLine {
        /// Which.
        fence: FenceId,
        /// On which day.
        on: Day,
    },
    /// Write down an own crop, or own values for one of the tables, as a whole.
    KeepCrop {
        /// Its id, new or known.
        crop: CropId,
        /// What it is to be.
        record: GardenCrop,
    },
    /// Write down somebody who is given of the harvest, as a whole.
    KeepRecipient {
        /// Their id, new or known.
        recipient: RecipientId,
        /// What it is to be.
        record: Recipient,
    },
    /// Put plantings into the plan, one or a series.
    Plant {
        /// Each by its new id.
        plantings: NewPlantings,
        /// The series that they belong to.
        series: Option<SeriesId>,
    },
    /// Change a planting, take it out of the plan or put it back. Tasks that came from it and are not claimed move with it.
    ChangePlanting {
        /// Which.
        planting: PlantingId,
        /// The fields to set.
        set: Vec<PlantingField>,
    },
    /// Move what is still planned of a series, and the tasks that came from it.
    MoveSeries {
        /// Which.
        series: SeriesId,
        /// By how many days, below nought for earlier.
        days: i64,
    },
    /// Say that a planting was sown or set, or cleared, or is only planned after all.
    MarkPlanting {
        /// Which.
        planting: PlantingId,
        /// How far it has come.
        state: PlantingState,
        /// On which day.
        on: Day,
    },
    /// Make a task of a proposal. Accepted twice it makes one task.
    AcceptProposal {
        /// Its new id.
        task: TaskId,
        /// What it is to be.
        accepted: AcceptedTask,
    },
    /// Set a proposal aside: it is not wanted this time, so nobody is asked again.
    SetProposalAside {
        /// The id that its task would have had.
        task: TaskId,
        /// What the task would have been.
        accepted: AcceptedTask,
        /// On which day.
        on: Day,
    },
    /// Take back that a proposal was accepted, set aside or called off, as long as nobody has claimed its task.
    ProposeAgain {
        /// Its task.
        task: TaskId,
        /// On which day.
        on: Day,
    },
    /// Write down a harvest and what became of each part of it.
    LogHarvest {
        /// Its new id.
        picking: PickingId,
        /// What it was.
        harvest: NewHarvest,
    },
    /// Write down what gauges showed.
    NoteWeather {
        /// Each by its new id.
        readings: Map<WeatherId, Reading>,
    },
    /// Strike a reading out as a mistake.
    StrikeWeather {
        /// Which.
        reading: WeatherId,
        /// On which day.
        on: Day,
    },
    /// Write a note anew. Notes merge as text should: both people's words survive.
    WriteNote {
        /// The note of what.
        of: NoteOf,
        /// The whole text as the writer sees it now.
        text: String,
        /// The text it was written against.
        base: NoteBase,
    },
    /// Put up a task.
    AddTask {
        /// Its new id.
        task: TaskId,
        /// What is to be done.
        title: String,
        /// Where.
        bed: Option<BedId>,
        /// When.
        day: Option<Day>,
        /// How many people it needs.
        places: u32,
        /// How long one person is expected to take.
        minutes: Minutes,
        /// The shared job that its hours count for.
        job: Option<JobId>,
        /// A first note.
        note: String,
    },
    /// Change a task, call it off or put it up again.
    ChangeTask {
        /// Which.
        task: TaskId,
        /// The fields to set.
        set: Vec<TaskField>,
    },
    /// Say that one will do a task or take a turn.
    Claim {
        /// Of what.
        of: Claimable,
        /// The new claim's id.
        claim: ClaimId,
    },
    /// Give a claim back.
    GiveBack {
        /// Of what.
        of: Claimable,
        /// Which claim.
        claim: ClaimId,
    },
    /// Hand a place over to somebody else, in the same standing.
    HandOver {
        /// Of what.
        of: Claimable,
        /// The claim that is given up.
        claim: ClaimId,
        /// Who takes it.
        to: MemberId,
        /// The new claim's id.
        new_claim: ClaimId,
    },
    /// Say that a claimed task, or a turn, is done.
    Done {
        /// Of what.
        of: Claimable,
        /// Which claim.
        claim: ClaimId,
        /// How long it took.
        minutes: Minutes,
        /// On which day.
        on: Day,
        /// A word about how it went.
        word: String,
    },
    /// Take *done* back: the claim stands again.
    NotDone {
        /// Of what.
        of: Claimable,
        /// Which claim.
        claim: ClaimId,
    },
    /// Put up picking turns.
    AddTurns {
        /// The turns, at most [`Limits::turns`] at once.
        turns: Vec<NewTurn>,
    },
    /// Call a picking turn off.
    EndTurn {
        /// Which.
        turn: TurnId,
        /// On which day.
        on: Day,
    },
    /// Write down what was picked.
    LogPicking {
        /// Its new id.
        picking: PickingId,
        /// From which bed.
        bed: BedId,
        /// On which day.
        day: Day,
        /// What.
        crop: String,
        /// How much.
        mass: Mass,
        /// What became of it.
        picked: Picked,
        /// In which turn.
        turn: Option<TurnId>,
        /// A word about it.
        word: String,
    },
    /// Strike a picking out as a mistake.
    StrikePicking {
        /// Which.
        picking: PickingId,
        /// On which day.
        on: Day,
    },
    /// Put up a shared job whose hours are due by bed area.
    AddJob {
        /// Its new id.
        job: JobId,
        /// What is to be done.
        title: String,
        /// All the hours it is expected to take.
        total: Minutes,
        /// Beds that it does not count for.
        beds_left_out: Map<BedId, bool>,
    },
    /// Change a job that is not closed, or call it off.
    ChangeJob {
        /// Which.
        job: JobId,
        /// The fields to set.
        set: Vec<JobField>,
    },
    /// Freeze the hours due of a job.
    CloseJob {
        /// Which.
        job: JobId,
        /// On which day.
        on: Day,
        /// The mark of the shares that the coordinator saw ([`crate::shares`]); if they have changed since, the edit is refused.
        seen: String,
    },
    /// Write down hours done for a job without a task.
    LogHours {
        /// Their new id.
        hours: HoursId,
        /// For which job.
        job: JobId,
        /// How long.
        minutes: Minutes,
        /// On which day.
        day: Day,
        /// A word about it.
        word: String,
    },
    /// Strike hours out as a mistake.
    StrikeHours {
        /// Which.
        hours: HoursId,
        /// On which day.
        on: Day,
    },
    /// Open a bulk order.
    AddOrder {
        /// Its new id.
        order: OrderId,
        /// What it is to be.
        new: NewOrder,
    },
    /// Change an open order, or call it off.
    ChangeOrder {
        /// Which.
        order: OrderId,
        /// The fields to set.
        set: Vec<OrderField>,
    },
    /// Close an order: its areas, rate and shares are frozen.
    CloseOrder {
        /// Which.
        order: OrderId,
        /// On which day.
        on: Day,
        /// The mark of the shares that the coordinator saw; if they have changed since, the edit is refused.
        seen: String,
    },
    /// Say how much of a line is wanted; nothing is an answer too. It can be said anew until the order is closed.
    AskFor {
        /// Of which order.
        order: OrderId,
        /// Of which line.
        line: LineId,
        /// For whom.
        whose: Payer,
        /// How much.
        amount: quantities::Amount,
    },
    /// Enter what really came and was asked for it: the order is shared anew by its frozen rules.
    EnterInvoice {
        /// Of which order.
        order: OrderId,
        /// On which day.
        on: Day,
        /// What came of each line; a line that is not named came as it was ordered.
        delivered: Map<LineId, CameOf>,
        /// What bringing it cost.
        delivery: Money,
        /// Who takes none of a line after all.
        none_for: Map<LineId, Map<Payer, bool>>,
        /// The mark of the new shares that the writer saw.
        seen: String,
        /// A word about it.
        word: String,
    },
    /// Tick an account's part of a line off, or take the tick back. The same tick twice counts once.
    HandOut {
        /// Of which order.
        order: OrderId,
        /// Which line.
        line: LineId,
        /// Whose part.
        payer: Payer,
        /// On which day.
        on: Day,
        /// False to take a tick back.
        taken: bool,
    },
    /// Write a line into the ledger.
    AddEntry {
        /// Its new id.
        entry: EntryId,
        /// Who gave something.
        from: Payer,
        /// Who had it.
        to: Payer,
        /// What happened.
        kind: EntryKind,
        /// How much it is worth.
        amount: Money,
        /// On which day.
        day: Day,
        /// For which order.
        order: Option<OrderId>,
        /// A word about it.
        word: String,
    },
    /// Say that a line of the ledger is so. From then on it counts.
    ConfirmEntry {
        /// Which.
        entry: EntryId,
    },
    /// Take a line of the ledger back by a new one.
    ReverseEntry {
        /// The new line's id.
        entry: EntryId,
        /// The line that is taken back.
        reverses: EntryId,
        /// On which day.
        day: Day,
        /// Why.
        word: String,
    },
    /// Carry every balance over from the year before; that year's ledger is then closed.
    CarryOver {
        /// On which day.
        on: Day,
        /// The mark of the balances that the writer saw.
        seen: String,
    },
    /// Ask the coordinators something about money or a load.
    AskCoordinator {
        /// Its new id.
        request: RequestId,
        /// About which order, if about one.
        about: Option<OrderId>,
        /// On which day.
        day: Day,
        /// What is asked.
        text: String,
    },
    /// Settle a request: answer it, or say that no answer is needed any more. What was said first stays.
    AnswerRequest {
        /// Which.
        request: RequestId,
        /// On which day.
        on: Day,
        /// What is said.
        word: String,
    },
    /// Enter a laboratory's report sheet.
    AddSoilTest {
        /// Its new id.
        test: SoilTestId,
        /// What stands on it.
        sheet: SoilSheet,
    },
    /// Strike a report sheet out as a mistake.
    StrikeSoilTest {
        /// Which.
        test: SoilTestId,
        /// On which day.
        on: Day,
    },
    /// Say what grows in a bed, as far as its soil is concerned.
    SetBedCrops {
        /// In which bed.
        bed: BedId,
        /// This year.
        now: Map<String, bool>,
        /// Next year.
        next_year: Map<String, bool>,
    },
    /// Write down what was spread on a bed.
    LogAmendment {
        /// Its new id.
        amendment: AmendmentId,
        /// On which bed.
        bed: BedId,
        /// On which day.
        day: Day,
        /// What.
        what: AmendmentKind,
        /// How much, if somebody knows.
        amount: Option<Amount>,
        /// The day it was dug in, if it was.
        dug_in_on: Option<Day>,
        /// A word about it.
        word: String,
    },
    /// Say that what lay on the surface was dug in.
    DigIn {
        /// What.
        amendment: AmendmentId,
        /// On which day.
        on: Day,
    },
    /// Strike something spread out as a mistake.
    StrikeAmendment {
        /// Which.
        amendment: AmendmentId,
        /// On which day.
        on: Day,
    },
}

/// A field of the profile and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum ProfileField {
    Name(String),
    Units(Units),
    Currency(Currency),
    TimeZone(String),
    NorthDegrees(i64),
    Lime(Option<GardenLime>),
    Compost(Option<GardenCompost>),
    Rules(GardenRules),
    Latitude(Option<Latitude>),
    Frost(Option<GardenFrost>),
    Accept(Map<String, bool>),
    Backdrop(Option<Backdrop>),
}

/// A field of a member and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum MemberField {
    Name(String),
    Role(Role),
    EndedOn(Option<Day>),
}

/// A field of a bed and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum BedField {
    Label(String),
    Outline(Outline),
    Holders(Map<MemberId, u32>),
    EndedOn(Option<Day>),
}

/// A field of a task and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum TaskField {
    Title(String),
    Bed(Option<BedId>),
    Day(Option<Day>),
    Places(u32),
    Minutes(Minutes),
    Job(Option<JobId>),
    EndedOn(Option<Day>),
}

/// A field of a job and what it is set to.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each field is described where the record is")]
pub enum JobField {
    Title(String),
    Total(Minutes),
    BedsLeftOut(Map<BedId, bool>),
    Fence(Option<FenceId>),
    EndedOn(Option<Day>),
}

/// Something with places that people claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Claimable {
    /// A task.
    Task(TaskId),
    /// A picking turn.
    Turn(TurnId),
}

/// What a note is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoteOf {
    /// A bed, in the ground document.
    Bed(BedId),
    /// A task, in a season.
    Task(TaskId),
}

/// The text that a note was written against.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NoteBase {
    /// The heads of the document as the writer's phone had confirmed it.
    pub heads: Vec<String>,
    /// The writer's own earlier edit of the same note that was still waiting, if one was.
    pub after: Option<EditId>,
}

/// A picking turn to be put up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewTurn {
    /// Its new id.
    pub turn: TurnId,
    /// Which bed.
    pub bed: BedId,
    /// On which day.
    pub day: Day,
    /// Who is down for it from the start, with the id of their claim.
    pub holder: Option<(MemberId, ClaimId)>,
}
