//! What people do on their phones: anything that the screen would let them, and some things it would not.

use selion_core::document::edit::{
    BedField, Claimable, JobField, MemberField, NewOrder, NewTurn, NoteOf, OrderField,
    ProfileField, TaskField,
};
use selion_core::document::ids::{
    AmendmentId, BedId, ClaimId, EditId, EntryId, FenceId, HoursId, JobId, LineId, MemberId,
    OrderId, PickingId, RequestId, SoilTestId, StructureId, TaskId, TurnId,
};
use selion_core::document::records::{
    AmendmentKind, Amount as Spread, AmountsFrom, CameOf, ClaimState, EntryKind, OrderLine, Pack,
    Payer, Picked, Place, Role, SoilSheet,
};
use selion_core::document::shared_out::{self, Came};
use selion_core::document::{DocumentName, Edit, balance};
use selion_core::geometry::{Line, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, CountedIn, Day, Mass, Minutes, Moment, Money, Rate};
use selion_core::shares::delivery::DeliveryRule;
use selion_core::shares::order::{HandOut, ShareRule};
use selion_core::sync::LocalCopy;

use super::World;
use super::phone::places;
use super::planners::{draws, plans};
use crate::chance::Chance;
use crate::small_garden::{GROUND, rectangle};

/// The mark in front of every word that the simulation puts into a note.
const WORD: &str = "w-";

/// The word that a note edit adds, if it is one.
pub(super) fn word_of(edit: &Edit) -> Option<(NoteOf, String)> {
    let Edit::WriteNote { of, text, .. } = edit else {
        return None;
    };
    let word = text
        .rsplit(' ')
        .next()
        .filter(|word| word.starts_with(WORD))?;
    Some((*of, word.to_owned()))
}

impl World {
    /// Somebody takes the phone and does one thing.
    pub(super) fn act(&mut self, phone: usize) {
        if self.phones[phone].running.is_none() {
            self.phone_opens(phone);
        }
        match self.chance.below(20) {
            0 => self.looks_at_what_was_set_aside(phone),
            1 => self.acts_in_another_tab(phone),
            _ => {
                let now = self.clock_of(phone);
                let copy = self.phones[phone].copy();
                let before = (copy.garden().clone(), copy.outbox().clone());
                if let Some((document, edit)) = something(&mut self.chance, copy, now)
                    && self.write(phone, document, edit).is_err()
                {
                    let copy = self.phones[phone].copy();
                    let after = (copy.garden().clone(), copy.outbox().clone());
                    assert_eq!(before, after, "what the phone refuses leaves no trace");
                }
            }
        }
    }

    fn looks_at_what_was_set_aside(&mut self, phone: usize) {
        let aside: Vec<EditId> = self.phones[phone]
            .copy()
            .outbox()
            .set_aside()
            .iter()
            .map(|row| row.envelope.id)
            .collect();
        let Some(edit) = self.chance.pick(&aside).copied() else {
            return;
        };
        let now = self.clock_of(phone);
        let again = EditId::fresh(now, self.chance.bytes());
        let redo = self.chance.in_a_thousand(500);
        let running = self.phones[phone].running.as_mut().unwrap();
        if redo {
            if let Ok(keep) = running.copy.redo(edit, again, now) {
                self.written.get_mut(&edit).unwrap().put_away = true;
                self.wrote(phone, again, keep, false);
            }
        } else {
            let keep = running.copy.drop_row(edit);
            self.phones[phone].storage.begin(keep);
            self.written.get_mut(&edit).unwrap().put_away = true;
        }
    }

    /// A second tab reads the storage, shows the garden from it, and writes; the first tab takes the row over.
    fn acts_in_another_tab(&mut self, phone: usize) {
        let now = self.clock_of(phone);
        let garden = self.phones[phone].copy().garden_id();
        let mut tab = LocalCopy::restore(garden, &self.phones[phone].storage.read());
        let Some((document, edit)) = something(&mut self.chance, &tab, now) else {
            return;
        };
        let id = EditId::fresh(now, self.chance.bytes());
        if let Ok(keep) = tab.write(id, document, edit, now) {
            self.wrote(phone, id, keep, true);
        }
    }
}

/// Something that somebody might do with what their screen shows.
fn something(chance: &mut Chance, copy: &LocalCopy, now: Moment) -> Option<(DocumentName, Edit)> {
    // A picked number first, so that drawing and planning take their part of what everybody does.
    match chance.below(20) {
        0 | 1 => return draws(chance, copy, now),
        2 | 3 => return plans(chance, copy, now),
        _ => {}
    }
    let mut hand = Hand { chance, copy, now };
    // Coordinators do more of what only they may do.
    if copy.role() == Some(Role::Coordinator) && hand.chance.in_a_thousand(200) {
        return hand.keeps_people();
    }
    match hand.chance.below(17) {
        0..=3 => hand.claims(),
        4..=6 => hand.keeps_a_claim(),
        7 => hand.puts_up_a_task(),
        8 => hand.changes_a_task(),
        9 | 10 => hand.writes_a_note(),
        11 => hand.picks(),
        12 => hand.works(),
        13 => hand.keeps_the_ground(),
        14 => hand.keeps_the_money(),
        15 => hand.spreads(),
        _ => hand.keeps_people(),
    }
}

struct Hand<'a> {
    chance: &'a mut Chance,
    copy: &'a LocalCopy,
    now: Moment,
}

impl Hand<'_> {
    fn season(&mut self) -> Option<(DocumentName, &selion_core::document::Season)> {
        let years: Vec<i16> = self.copy.garden().seasons.keys().copied().collect();
        let year = *self.chance.pick(&years)?;
        Some((
            DocumentName::Season(year),
            self.copy.garden().seasons.get(&year)?,
        ))
    }

    fn one<K: Copy + Ord, V>(&mut self, shelf: &Map<K, V>) -> Option<K> {
        let keys: Vec<K> = shelf.keys().copied().collect();
        self.chance.pick(&keys).copied()
    }

    fn bed(&mut self) -> Option<BedId> {
        let copy = self.copy;
        self.one(&copy.garden().beds)
    }

    fn member(&mut self) -> Option<MemberId> {
        let copy = self.copy;
        self.one(&copy.garden().members)
    }

    fn day(&mut self) -> Day {
        Day::parse("2026-05-01")
            .unwrap()
            .plus_days(self.chance.between(0, 90))
    }

    fn maybe<T>(&mut self, value: Option<T>) -> Option<T> {
        if self.chance.in_a_thousand(500) {
            value
        } else {
            None
        }
    }

    /// A place of some year, with its claims.
    fn place(&mut self) -> Option<(DocumentName, Claimable)> {
        let copy = self.copy;
        let (document, season) = self.season()?;
        let of_year: Vec<Claimable> = season
            .tasks
            .keys()
            .map(|task| Claimable::Task(*task))
            .chain(season.turns.keys().map(|turn| Claimable::Turn(*turn)))
            .collect();
        let wanted = |of: &Claimable| {
            let ended = match of {
                Claimable::Task(task) => copy.garden().task(*task)?.1.ended_on.is_some(),
                Claimable::Turn(turn) => copy.garden().turn(*turn)?.1.ended_on.is_some(),
            };
            (!ended).then_some(())
        };
        let open: Vec<Claimable> = of_year
            .iter()
            .filter(|of| wanted(of).is_some())
            .copied()
            .collect();
        let of = if open.is_empty() {
            self.chance.pick(&of_year)
        } else {
            self.chance.pick(&open)
        };
        of.copied().map(|of| (document, of))
    }

    fn claims(&mut self) -> Option<(DocumentName, Edit)> {
        let (document, of) = self.place()?;
        let claim = ClaimId::fresh(self.now, self.chance.bytes());
        Some((document, Edit::Claim { of, claim }))
    }

    fn keeps_a_claim(&mut self) -> Option<(DocumentName, Edit)> {
        let (copy, me) = (self.copy, self.copy.member()?);
        let mut mine = Vec::new();
        for (year, season) in &copy.garden().seasons {
            let tasks = season
                .tasks
                .iter()
                .map(|(id, task)| (Claimable::Task(*id), &task.claims));
            let turns = season
                .turns
                .iter()
                .map(|(id, turn)| (Claimable::Turn(*id), &turn.claims));
            for (of, claims) in tasks.chain(turns) {
                let own = claims.iter().filter(|(_, claim)| claim.member == me);
                mine.extend(
                    own.map(|(id, claim)| (DocumentName::Season(*year), of, *id, claim.state)),
                );
            }
        }
        let live: Vec<_> = mine
            .iter()
            .filter(|(.., state)| *state != ClaimState::GivenBack)
            .copied()
            .collect();
        let (document, of, claim, state) = *self.chance.pick(&live)?;
        let edit = match (state, self.chance.below(5)) {
            (ClaimState::Done, _) => Edit::NotDone { of, claim },
            (_, 0) => Edit::GiveBack { of, claim },
            (_, 1 | 2) => {
                let new_claim = ClaimId::fresh(self.now, self.chance.bytes());
                Edit::HandOver {
                    of,
                    claim,
                    to: self.member()?,
                    new_claim,
                }
            }
            _ => Edit::Done {
                of,
                claim,
                minutes: Minutes::new(25),
                on: self.day(),
                word: "Dry".to_owned(),
            },
        };
        Some((document, edit))
    }

    fn puts_up_a_task(&mut self) -> Option<(DocumentName, Edit)> {
        let (document, season) = self.season()?;
        let jobs = season.jobs.keys().copied().collect::<Vec<_>>();
        let job = self.chance.pick(&jobs).copied();
        let bed = self.bed();
        let edit = Edit::AddTask {
            task: TaskId::fresh(self.now, self.chance.bytes()),
            title: "Cut the path".to_owned(),
            bed: self.maybe(bed),
            day: Some(self.day()),
            places: u32::try_from(self.chance.between(1, 2)).unwrap(),
            minutes: Minutes::new(20),
            job: self.maybe(job),
            note: "Blades are blunt".to_owned(),
        };
        Some((document, edit))
    }

    fn changes_a_task(&mut self) -> Option<(DocumentName, Edit)> {
        let (document, season) = self.season()?;
        let tasks: Vec<TaskId> = season.tasks.keys().copied().collect();
        let task = *self.chance.pick(&tasks)?;
        let field = match self.chance.below(5) {
            0 => TaskField::Title("Cut the other path".to_owned()),
            1 => TaskField::Places(u32::try_from(self.chance.between(1, 3)).unwrap()),
            2 => TaskField::Day(Some(self.day())),
            3 => TaskField::EndedOn(Some(self.day())),
            _ => TaskField::EndedOn(None),
        };
        Some((
            document,
            Edit::ChangeTask {
                task,
                set: vec![field],
            },
        ))
    }

    fn writes_a_note(&mut self) -> Option<(DocumentName, Edit)> {
        let copy = self.copy;
        let (document, of, stands) = if self.chance.in_a_thousand(300) {
            let bed = self.bed()?;
            (
                GROUND,
                NoteOf::Bed(bed),
                copy.garden().beds.get(&bed)?.note.as_str(),
            )
        } else {
            let (document, season) = self.season()?;
            // Few tasks, so that several people write on the same note.
            let tasks: Vec<TaskId> = season.tasks.keys().take(2).copied().collect();
            let task = *self.chance.pick(&tasks)?;
            (
                document,
                NoteOf::Task(task),
                copy.garden().task(task)?.1.note.as_str(),
            )
        };
        let text = format!("{stands} {WORD}{:08x}", self.chance.below(1 << 32));
        Some((
            document,
            Edit::WriteNote {
                of,
                text,
                base: copy.note_base(of, document),
            },
        ))
    }

    fn picks(&mut self) -> Option<(DocumentName, Edit)> {
        let (document, season) = self.season()?;
        let pickings: Vec<PickingId> = season.pickings.keys().copied().collect();
        let turns: Vec<TurnId> = season.turns.keys().copied().collect();
        let turn = self.chance.pick(&turns).copied();
        let edit = match self.chance.below(4) {
            0 => Edit::StrikePicking {
                picking: *self.chance.pick(&pickings)?,
                on: self.day(),
            },
            1 => {
                let claim = ClaimId::fresh(self.now, self.chance.bytes());
                let someone = self.member().map(|member| (member, claim));
                let new = NewTurn {
                    turn: TurnId::fresh(self.now, self.chance.bytes()),
                    bed: self.bed()?,
                    day: self.day(),
                    holder: self.maybe(someone),
                };
                Edit::AddTurns { turns: vec![new] }
            }
            2 => Edit::EndTurn {
                turn: turn?,
                on: self.day(),
            },
            _ => Edit::LogPicking {
                picking: PickingId::fresh(self.now, self.chance.bytes()),
                bed: self.bed()?,
                day: self.day(),
                crop: "Chard".to_owned(),
                mass: Mass::from_grams(self.chance.between(100, 4_000)),
                picked: Picked::Kept,
                turn: self.maybe(turn),
                word: String::new(),
            },
        };
        Some((document, edit))
    }

    fn spreads(&mut self) -> Option<(DocumentName, Edit)> {
        if self.chance.in_a_thousand(300) {
            let tests: Vec<SoilTestId> = self.copy.garden().soil_tests.keys().copied().collect();
            let edit = match self.chance.pick(&tests).copied() {
                Some(test) if self.chance.in_a_thousand(300) => Edit::StrikeSoilTest {
                    test,
                    on: self.day(),
                },
                Some(_) | None => Edit::AddSoilTest {
                    test: SoilTestId::fresh(self.now, self.chance.bytes()),
                    sheet: SoilSheet::taken(self.day(), [self.bed()?]),
                },
            };
            return Some((DocumentName::Ground, edit));
        }
        let (document, season) = self.season()?;
        let spread: Vec<AmendmentId> = season.amendments.keys().copied().collect();
        let edit = match self.chance.below(5) {
            0 => Edit::StrikeAmendment {
                amendment: *self.chance.pick(&spread)?,
                on: self.day(),
            },
            1 => Edit::DigIn {
                amendment: *self.chance.pick(&spread)?,
                on: self.day(),
            },
            2 => Edit::SetBedCrops {
                bed: self.bed()?,
                now: [("beans".to_owned(), self.chance.in_a_thousand(700))].into(),
                next_year: [("potato".to_owned(), self.chance.in_a_thousand(300))].into(),
            },
            _ => Edit::LogAmendment {
                amendment: AmendmentId::fresh(self.now, self.chance.bytes()),
                bed: self.bed()?,
                day: self.day(),
                what: AmendmentKind::RawManure,
                amount: Some(Spread::Mass(Mass::from_grams(
                    self.chance.between(1, 90_000),
                ))),
                dug_in_on: None,
                word: String::new(),
            },
        };
        Some((document, edit))
    }

    fn works(&mut self) -> Option<(DocumentName, Edit)> {
        let copy = self.copy;
        let (document, season) = self.season()?;
        let jobs: Vec<JobId> = season.jobs.keys().copied().collect();
        let hours: Vec<HoursId> = season.hours.keys().copied().collect();
        let job = self.chance.pick(&jobs).copied();
        let edit = match self.chance.below(5) {
            0 => Edit::AddJob {
                job: JobId::fresh(self.now, self.chance.bytes()),
                title: "Spread the chips".to_owned(),
                total: Minutes::new(600),
                beds_left_out: Map::new(),
            },
            1 => Edit::ChangeJob {
                job: job?,
                set: vec![JobField::Total(Minutes::new(self.chance.between(60, 900)))],
            },
            2 => {
                let shares = shared_out::job(copy.garden(), copy.garden().job(job?)?.1).ok()?;
                Edit::CloseJob {
                    job: job?,
                    on: self.day(),
                    seen: shared_out::mark_of_hours(&shares.result),
                }
            }
            3 => Edit::StrikeHours {
                hours: *self.chance.pick(&hours)?,
                on: self.day(),
            },
            _ => Edit::LogHours {
                hours: HoursId::fresh(self.now, self.chance.bytes()),
                job: job?,
                minutes: Minutes::new(45),
                day: self.day(),
                word: String::new(),
            },
        };
        Some((document, edit))
    }

    fn keeps_the_ground(&mut self) -> Option<(DocumentName, Edit)> {
        let step = self.chance.between(0, 12) * 2_000;
        let holder = self.member();
        let holders = self
            .maybe(holder)
            .map(|holder| (holder, 1))
            .into_iter()
            .collect();
        let edit = match self.chance.below(7) {
            0 => Edit::AddBed {
                bed: BedId::fresh(self.now, self.chance.bytes()),
                label: format!("E{}", self.chance.below(20)),
                outline: rectangle(40_000 + step, 0, 1_500, 4_000),
                holders,
            },
            1 => Edit::ChangeBed {
                bed: self.bed()?,
                set: vec![BedField::Holders(holders)],
            },
            2 => Edit::ChangeBed {
                bed: self.bed()?,
                set: vec![BedField::Outline(rectangle(
                    0,
                    step,
                    5_000,
                    1_000 + step / 20,
                ))],
            },
            3 => Edit::ChangeBed {
                bed: self.bed()?,
                set: vec![BedField::EndedOn(Some(self.day()))],
            },
            4 => Edit::ChangeBed {
                bed: self.bed()?,
                set: vec![BedField::EndedOn(None)],
            },
            5 => Edit::AddStructure {
                structure: StructureId::fresh(self.now, self.chance.bytes()),
                label: "Bench".to_owned(),
                outline: rectangle(60_000, step, 500, 500),
            },
            _ => Edit::AddFenceLine {
                fence: FenceId::fresh(self.now, self.chance.bytes()),
                label: "Fence".to_owned(),
                line: Line::new(vec![Point::from_mm(0, step), Point::from_mm(9_000, step)])
                    .unwrap(),
                gates: Map::new(),
            },
        };
        Some((GROUND, edit))
    }

    fn keeps_the_money(&mut self) -> Option<(DocumentName, Edit)> {
        let copy = self.copy;
        let years: Vec<i16> = copy.garden().ledgers.keys().copied().collect();
        let year = self.chance.pick(&years)?;
        let ledger = copy.garden().ledgers.get(year)?;
        let order = self.one(&ledger.orders);
        let entry = self.one(&ledger.entries);
        let edit = match self.chance.below(24) {
            0 => self.opens_an_order(),
            1 => {
                let fee = Money::from_minor(self.chance.between(0, 900));
                let rule = DeliveryRule::Equally;
                let set = vec![OrderField::Delivery { fee, rule }];
                Edit::ChangeOrder { order: order?, set }
            }
            2 | 3 | 10..=12 => {
                let record = copy.garden().order(order?)?.1;
                let shares = shared_out::order(copy.garden(), record).ok()?;
                Edit::CloseOrder {
                    order: order?,
                    on: self.day(),
                    seen: shared_out::mark_of_order(&shares.result),
                }
            }
            4 | 13..=15 => self.asks_for(order?)?,
            5 | 16 => self.enters_a_bill(order?)?,
            6 => self.hands_out(order?)?,
            7 => Edit::ReverseEntry {
                entry: EntryId::fresh(self.now, self.chance.bytes()),
                reverses: entry?,
                day: self.day(),
                word: String::new(),
            },
            8 => Edit::ConfirmEntry { entry: entry? },
            17 => Edit::AskCoordinator {
                request: RequestId::fresh(self.now, self.chance.bytes()),
                about: order,
                day: self.day(),
                text: "A bag more, if it can be had".to_owned(),
            },
            18 => Edit::AnswerRequest {
                request: self.one(&ledger.requests)?,
                on: self.day(),
                word: "It can".to_owned(),
            },
            9 => {
                let owed = balance::at_the_end_of(copy.garden(), year - 1);
                Edit::CarryOver {
                    on: self.day(),
                    seen: shared_out::mark_of_balances(&owed),
                }
            }
            _ => self.pays(order)?,
        };
        Some((DocumentName::Ledger(*year), edit))
    }

    fn opens_an_order(&mut self) -> Edit {
        let bag = |size, minor| Pack {
            size: Amount::from_count(size),
            price: Money::from_minor(minor),
            breaks: Map::from([(12.into(), Money::from_minor(minor - 20))]),
        };
        let ash = OrderLine {
            material: "Wood ash".to_owned(),
            rate: Rate::from_micrograms_per_m2(70_000_000),
            rate_as_typed: "70 g/m2".to_owned(),
            packs: Map::from([(1.into(), bag(1_000, 310)), (2.into(), bag(400, 150))]),
            hand_out: *self
                .chance
                .pick(&[HandOut::Loose, HandOut::WholePacks])
                .unwrap_or(&HandOut::Loose),
            ..OrderLine::default()
        };
        let straw = OrderLine {
            material: "Straw".to_owned(),
            counted_in: CountedIn::Pieces,
            amounts: AmountsFrom::Wishes,
            packs: Map::from([(1.into(), bag(1, 650))]),
            rule: *self
                .chance
                .pick(&ShareRule::ALL)
                .unwrap_or(&ShareRule::Need),
            ..OrderLine::default()
        };
        let lines = [ash, straw].map(|line| (LineId::fresh(self.now, self.chance.bytes()), line));
        Edit::AddOrder {
            order: OrderId::fresh(self.now, self.chance.bytes()),
            new: NewOrder {
                title: "Ash and straw".to_owned(),
                lines: lines.into_iter().collect(),
                delivery: Money::from_minor(500),
                ..NewOrder::default()
            },
        }
    }

    fn line_of(&mut self, order: OrderId) -> Option<LineId> {
        let copy = self.copy;
        self.one(&copy.garden().order(order)?.1.lines)
    }

    fn account(&mut self) -> Option<Payer> {
        let member = self.member().map(Payer::Member);
        let me = self.copy.member().map(Payer::Member);
        match self.chance.below(3) {
            0 => Some(Payer::Garden),
            1 => me,
            _ => member,
        }
    }

    fn asks_for(&mut self, order: OrderId) -> Option<Edit> {
        Some(Edit::AskFor {
            order,
            line: self.line_of(order)?,
            whose: self.account()?,
            amount: Amount::from_count(self.chance.between(0, 9)),
        })
    }

    /// What came is less or dearer than what was ordered, and somebody takes none.
    fn enters_a_bill(&mut self, order: OrderId) -> Option<Edit> {
        let copy = self.copy;
        let record = copy.garden().order(order)?.1;
        let line = self.line_of(order)?;
        let ordered = record.frozen()?.lines.get(&line)?;
        let short = self.chance.between(0, 1);
        let counts = ordered
            .counts
            .iter()
            .map(|(size, count)| (*size, (count - short).max(0)));
        let came = CameOf {
            counts: counts.collect(),
            amount: ordered.bought,
            goods: Money::from_minor(self.chance.between(0, 20_000)),
        };
        let none = Map::from([(self.account()?, true)]);
        let (delivered, none_for) = (Map::from([(line, came)]), Map::from([(line, none)]));
        let delivery = Money::from_minor(self.chance.between(0, 900));
        let came = Came {
            delivered: &delivered,
            delivery,
            none_for: &none_for,
        };
        let shares = shared_out::invoiced(copy.garden(), record, came).ok()?;
        let seen = shared_out::mark_of_order(&shares.result);
        Some(Edit::EnterInvoice {
            order,
            on: self.day(),
            delivered,
            delivery,
            none_for,
            seen,
            word: String::new(),
        })
    }

    fn hands_out(&mut self, order: OrderId) -> Option<Edit> {
        Some(Edit::HandOut {
            order,
            line: self.line_of(order)?,
            payer: self.account()?,
            on: self.day(),
            taken: !self.chance.in_a_thousand(200),
        })
    }

    fn pays(&mut self, order: Option<OrderId>) -> Option<Edit> {
        let kind = *self.chance.pick(&EntryKind::ALL)?;
        let (from, to) = (self.account()?, self.account()?);
        Some(Edit::AddEntry {
            entry: EntryId::fresh(self.now, self.chance.bytes()),
            from,
            to: if kind == EntryKind::Outlay {
                Payer::Supplier
            } else {
                to
            },
            kind,
            // Few amounts and days, so that some payments look like others.
            amount: Money::from_minor(self.chance.between(1, 3) * 500),
            day: self.day(),
            order: self.maybe(order),
            word: String::new(),
        })
    }

    fn keeps_people(&mut self) -> Option<(DocumentName, Edit)> {
        let member = self.member()?;
        let change = |field| Edit::ChangeMember {
            member,
            set: vec![field],
        };
        let edit = match self.chance.below(8) {
            0 => Edit::AddMember {
                member: MemberId::fresh(self.now, self.chance.bytes()),
                name: "Newcomer".to_owned(),
                role: Role::Helper,
            },
            1 => change(MemberField::EndedOn(Some(self.day()))),
            2 | 3 => change(MemberField::EndedOn(None)),
            4 | 5 => change(MemberField::Role(*self.chance.pick(&Role::ALL)?)),
            6 => Edit::OpenYear { year: 2027 },
            _ => Edit::ChangeProfile {
                set: vec![ProfileField::NorthDegrees(self.chance.between(0, 359))],
            },
        };
        Some((GROUND, edit))
    }
}

/// Whether any place in a garden has more holders than places.
pub(super) fn too_many_hold(garden: &selion_core::document::Garden) -> Option<Claimable> {
    use selion_core::document::records::Standing;
    let held = |place: &dyn Place| {
        place
            .in_order()
            .iter()
            .filter(|(_, _, standing)| *standing == Standing::Holds)
            .count()
    };
    places(garden)
        .find(|(_, place)| held(*place) > place.places())
        .map(|(of, _)| of)
}
