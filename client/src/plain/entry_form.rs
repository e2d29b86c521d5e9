//! The form that writes a line into the ledger: what happened, between whom, how much, when.
//!
//! People say what happened; which account gives and which has is worked out from that here, once.

use selion_core::document::ids::{EntryId, MemberId, OrderId};
use selion_core::document::records::{Entry, EntryKind, Payer, Role};
use selion_core::document::shared_out::payer_name;
use selion_core::document::{DocumentName, Edit, Garden, hours_done};
use selion_core::ordered::Map;
use selion_core::policy::{Told, told_of};
use selion_core::quantities::{BadInput, Currency, Day, Minutes, Money};

use super::wording::capital;

/// What happened, as people say it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Happened {
    /// Money went from one account to another: a payment, or one paid back.
    Paid,
    /// Somebody laid money out to a supplier.
    LaidOut,
    /// A supplier gave some back.
    HadBack,
    /// Hours that somebody did stand for money.
    HoursDone,
    /// Hours that somebody did not do are paid.
    HoursOwed,
    /// Somebody owes the garden for something else.
    Charge,
    /// The garden owes somebody for something else.
    Credit,
}

impl Happened {
    /// Everything that can be written, as the form lists it.
    pub const ALL: [Self; 7] = [
        Self::Paid,
        Self::LaidOut,
        Self::HadBack,
        Self::HoursDone,
        Self::HoursOwed,
        Self::Charge,
        Self::Credit,
    ];

    /// What it is known by.
    pub fn key(self) -> &'static str {
        match self {
            Self::Paid => "paid",
            Self::LaidOut => "laid_out",
            Self::HadBack => "had_back",
            Self::HoursDone => "hours_done",
            Self::HoursOwed => "hours_owed",
            Self::Charge => "charge",
            Self::Credit => "credit",
        }
    }

    /// What the list says.
    pub fn words(self) -> &'static str {
        match self {
            Self::Paid => "Money was paid, or paid back",
            Self::LaidOut => "Laid out to a supplier",
            Self::HadBack => "Had back from a supplier",
            Self::HoursDone => "Hours done stand for money",
            Self::HoursOwed => "Hours not done are paid",
            Self::Charge => "A charge for something else",
            Self::Credit => "Put right in somebody’s favour",
        }
    }

    /// What the first account is called.
    pub fn who(self) -> &'static str {
        match self {
            Self::Paid | Self::LaidOut => "Who paid",
            Self::HadBack => "Who had it",
            Self::HoursDone => "Who did the hours",
            Self::HoursOwed | Self::Charge => "Who owes it",
            Self::Credit => "In whose favour",
        }
    }

    /// Whether it takes a coordinator.
    pub fn is_for_coordinators(self) -> bool {
        !matches!(self, Self::Paid | Self::LaidOut | Self::HadBack)
    }

    fn needs_words(self) -> bool {
        matches!(self, Self::Charge | Self::Credit)
    }

    /// Whether hours can be typed in place of money.
    pub fn is_hours(self) -> bool {
        matches!(self, Self::HoursDone | Self::HoursOwed)
    }

    fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|happened| happened.key() == key)
    }

    /// From which account to which, and as what.
    fn entry(self, who: Payer, whom: Payer) -> (Payer, Payer, EntryKind) {
        match self {
            Self::Paid => (who, whom, EntryKind::Payment),
            Self::LaidOut => (who, Payer::Supplier, EntryKind::Outlay),
            Self::HadBack => (Payer::Supplier, who, EntryKind::Outlay),
            Self::HoursDone => (who, Payer::Garden, EntryKind::HoursInLieu),
            Self::HoursOwed => (Payer::Garden, who, EntryKind::HoursInLieu),
            Self::Charge => (Payer::Garden, who, EntryKind::Adjustment),
            Self::Credit => (who, Payer::Garden, EntryKind::Adjustment),
        }
    }
}

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described where the entry is")]
pub enum EntryBox {
    Happened,
    Who,
    Whom,
    Amount,
    Day,
    Word,
}

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is described where the entry is")]
pub struct EntryTyped {
    pub happened: String,
    pub who: String,
    pub whom: String,
    pub amount: String,
    pub day: String,
    pub order: String,
    pub word: String,
}

/// An entry that was typed and read.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is described where the entry is")]
pub struct NewEntry {
    pub from: Payer,
    pub to: Payer,
    pub kind: EntryKind,
    pub amount: Money,
    pub day: Day,
    pub order: Option<OrderId>,
    pub word: String,
}

impl EntryTyped {
    /// What is chosen as having happened.
    pub fn chosen(&self) -> Option<Happened> {
        Happened::of_key(&self.happened)
    }

    /// The entry that was typed. Hours may be typed where the garden sets them against money.
    pub fn read(
        &self,
        garden: &Garden,
        currency: Currency,
    ) -> Result<NewEntry, Map<EntryBox, String>> {
        let mut wrong = Map::new();
        let mut refuse = |of, bad: &BadInput| {
            wrong.insert(of, capital(&bad.to_string()));
        };
        let happened = self.chosen().unwrap_or_else(|| {
            refuse(
                EntryBox::Happened,
                &BadInput::new("what happened", "one of the list", ""),
            );
            Happened::Paid
        });
        let account = |name: &str, typed: &str| {
            let read = typed.parse::<Payer>();
            read.map_err(|_no_id| BadInput::new(name, "one of the accounts", ""))
        };
        let who = account(&happened.who().to_lowercase(), &self.who);
        let who = who.map_err(|bad| refuse(EntryBox::Who, &bad));
        let whom = if happened == Happened::Paid {
            account("whom", &self.whom).map_err(|bad| refuse(EntryBox::Whom, &bad))
        } else {
            Ok(Payer::Garden)
        };
        if happened == Happened::Paid && who.is_ok() && who == whom {
            let bad = BadInput::new("whom", "another account than the one that paid", "the same");
            refuse(EntryBox::Whom, &bad);
        }
        let amount = self.amount(garden, happened, currency);
        let amount = amount.map_err(|bad| refuse(EntryBox::Amount, &bad));
        let day = Day::parse(&self.day).map_err(|bad| refuse(EntryBox::Day, &bad.named("day")));
        let word = self.word.trim().to_owned();
        if happened.needs_words() && word.is_empty() {
            refuse(
                EntryBox::Word,
                &BadInput::new("words", "what it is for", ""),
            );
        }
        let (Ok(who), Ok(whom), Ok(amount), Ok(day), true) =
            (who, whom, amount, day, wrong.is_empty())
        else {
            return Err(wrong);
        };
        let (from, to, kind) = happened.entry(who, whom);
        Ok(NewEntry {
            from,
            to,
            kind,
            amount,
            day,
            order: self.order.parse().ok(),
            word,
        })
    }

    fn amount(
        &self,
        garden: &Garden,
        happened: Happened,
        currency: Currency,
    ) -> Result<Money, BadInput> {
        let typed = self.amount.trim();
        let hours = Minutes::parse(typed).ok().filter(|_| happened.is_hours());
        let amount = match hours.and_then(|hours| hours_done::in_lieu(garden, hours)) {
            Some(amount) => amount,
            None => Money::parse(typed, currency).map_err(|bad| bad.named("amount"))?,
        };
        if amount.is_positive() {
            Ok(amount)
        } else {
            Err(BadInput::new("amount", "more than nothing", typed))
        }
    }
}

impl NewEntry {
    /// The edit that writes it.
    pub fn edit(self, entry: EntryId) -> Edit {
        Edit::AddEntry {
            entry,
            from: self.from,
            to: self.to,
            kind: self.kind,
            amount: self.amount,
            day: self.day,
            order: self.order,
            word: self.word,
        }
    }

    /// The ledger it belongs into: that of its day, or the first after it that is not carried over already.
    pub fn document(&self, garden: &Garden) -> DocumentName {
        let year = self.day.year();
        let opened = |(year, ledger): (&i16, &selion_core::document::Ledger)| {
            ledger.opening.is_some().then_some(*year)
        };
        let later = garden.ledgers.range(year.saturating_add(1)..);
        let carried_into = later.rev().find_map(opened);
        DocumentName::Ledger(carried_into.unwrap_or(year))
    }

    /// What its writer will be told, in a sentence; nothing when it counts at once.
    pub fn foretold(
        &self,
        garden: &Garden,
        me: MemberId,
        role: Role,
        currency: Currency,
    ) -> Option<String> {
        let year = self.document(garden).year()?;
        let ledger = garden.ledgers.get(&year)?;
        let entry = Entry {
            from: self.from,
            to: self.to,
            kind: self.kind,
            amount: self.amount,
            day: self.day,
            order: self.order,
            reverses: None,
            written_by: me,
            confirmed_by: None,
            looks_like: None,
            word: self.word.clone(),
        };
        match told_of(ledger, &entry, role)? {
            Told::LooksLike(twin) => {
                let twin = ledger.entries.get(&twin)?;
                Some(format!(
                    "It looks like one that is there: {} wrote down {} from {} to {} on {}. It waits until somebody says that it is a second one.",
                    garden.name_of(twin.written_by),
                    twin.amount.show(currency),
                    payer_name(garden, twin.from),
                    payer_name(garden, twin.to),
                    twin.day
                ))
            }
            Told::Unconfirmed => Some(format!(
                "It counts once {} confirms it.",
                confirms(garden, self.to)
            )),
            Told::Holds | Told::StandsBy(_) | Told::ClaimedStay(_) => None,
        }
    }
}

/// Who may confirm that an account had something.
pub fn confirms(garden: &Garden, to: Payer) -> String {
    match to {
        Payer::Member(member) => format!("{} or a coordinator", garden.name_of(member)),
        Payer::Garden | Payer::Supplier => "a coordinator".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::Ledger;
    use selion_core::document::records::{Opening, Profile};
    use selion_core::quantities::Moment;

    use super::*;
    use crate::plain::sample::{garden, member};

    fn typed(happened: Happened, amount: &str) -> EntryTyped {
        EntryTyped {
            happened: happened.key().into(),
            who: member(1).to_string(),
            whom: "garden".into(),
            amount: amount.into(),
            day: "2026-06-11".into(),
            word: "for twine".into(),
            ..EntryTyped::default()
        }
    }

    fn with_money(code: &str, hour_in_lieu: i64) -> (Garden, Currency) {
        let mut garden = garden();
        let mut profile = Profile::clone(garden.profile.as_ref().unwrap());
        profile.currency = Currency::new(code).unwrap();
        profile.rules.hour_in_lieu = Money::from_minor(hour_in_lieu);
        let currency = profile.currency;
        garden.profile = Some(Arc::new(profile));
        garden.ledgers.insert(2026, Ledger::default());
        (garden, currency)
    }

    #[test]
    fn what_happened_tells_who_owes_less_afterwards() {
        let (garden, dollars) = with_money("USD", 0);
        let ines = Payer::Member(member(1));
        let (own, supplier) = (Payer::Garden, Payer::Supplier);
        let expected = [
            (ines, own, EntryKind::Payment),
            (ines, supplier, EntryKind::Outlay),
            (supplier, ines, EntryKind::Outlay),
            (ines, own, EntryKind::HoursInLieu),
            (own, ines, EntryKind::HoursInLieu),
            (own, ines, EntryKind::Adjustment),
            (ines, own, EntryKind::Adjustment),
        ];
        for (happened, expected) in Happened::ALL.into_iter().zip(expected) {
            let read = typed(happened, "4.31").read(&garden, dollars).unwrap();
            assert_eq!((read.from, read.to, read.kind), expected);
            assert_eq!(read.amount, Money::from_minor(431));
        }
    }

    #[test]
    fn amounts_are_read_with_the_digits_of_their_currency() {
        // ISO 4217: none behind the point for the yen, two for the euro, three for the Bahraini dinar.
        for (code, amount, minor) in [
            ("JPY", "1250", 1_250),
            ("EUR", "12,50", 1_250),
            ("BHD", "1.250", 1_250),
        ] {
            let (garden, currency) = with_money(code, 0);
            let read = typed(Happened::Paid, amount)
                .read(&garden, currency)
                .unwrap();
            assert_eq!(read.amount.minor(), minor, "{code}");
        }
        let (garden, yen) = with_money("JPY", 0);
        let wrong = typed(Happened::Paid, "12.50")
            .read(&garden, yen)
            .unwrap_err();
        assert!(wrong.contains_key(&EntryBox::Amount), "no yen has a part");
    }

    #[test]
    fn hours_are_turned_into_money_by_the_gardens_rate() {
        let (garden, euros) = with_money("EUR", 1_200);
        let read = |happened, amount: &str| {
            typed(happened, amount)
                .read(&garden, euros)
                .map(|read| read.amount.minor())
        };
        assert_eq!(read(Happened::HoursDone, "2 h 30 min"), Ok(3_000));
        assert_eq!(read(Happened::HoursOwed, "45 min"), Ok(900));
        assert_eq!(
            read(Happened::HoursDone, "30"),
            Ok(3_000),
            "a bare number is money"
        );
        assert!(read(Happened::Paid, "2 h").is_err(), "nobody pays in hours");
    }

    #[test]
    fn every_wrong_field_says_so_at_once() {
        let (garden, dollars) = with_money("USD", 0);
        let nothing = EntryTyped::default().read(&garden, dollars).unwrap_err();
        let fields: Vec<EntryBox> = nothing.into_keys().collect();
        let expected = [
            EntryBox::Happened,
            EntryBox::Who,
            EntryBox::Whom,
            EntryBox::Amount,
            EntryBox::Day,
        ];
        assert_eq!(fields, expected);
        let same = EntryTyped {
            whom: member(1).to_string(),
            ..typed(Happened::Paid, "0")
        };
        let fields: Vec<EntryBox> = same
            .read(&garden, dollars)
            .unwrap_err()
            .into_keys()
            .collect();
        assert_eq!(fields, [EntryBox::Whom, EntryBox::Amount]);
        let silent = EntryTyped {
            word: " ".into(),
            ..typed(Happened::Charge, "3")
        };
        let fields: Vec<EntryBox> = silent
            .read(&garden, dollars)
            .unwrap_err()
            .into_keys()
            .collect();
        assert_eq!(fields, [EntryBox::Word], "a charge says what it is for");
    }

    #[test]
    fn the_writer_is_told_before_writing_that_it_waits_or_looks_like_another() {
        let (mut garden, dollars) = with_money("USD", 0);
        let read = typed(Happened::Paid, "4.31")
            .read(&garden, dollars)
            .unwrap();
        let told = |garden: &Garden, role| read.foretold(garden, member(1), role, dollars);
        assert_eq!(told(&garden, Role::Coordinator), None);
        assert_eq!(
            told(&garden, Role::Member).unwrap(),
            "It counts once a coordinator confirms it."
        );
        let first = Entry {
            from: read.from,
            to: read.to,
            kind: read.kind,
            amount: read.amount,
            day: read.day,
            order: None,
            reverses: None,
            written_by: member(2),
            confirmed_by: Some(member(2)),
            looks_like: None,
            word: String::new(),
        };
        let id = EntryId::fresh(Moment::from_millis(1), [0; 10]);
        let ledger = garden.ledgers.get_mut(&2026).unwrap();
        ledger.entries.insert(id, Arc::new(first));
        let words = told(&garden, Role::Coordinator).unwrap();
        assert!(
            words.starts_with("It looks like one that is there: Tomasz"),
            "{words}"
        );
    }

    #[test]
    fn what_was_paid_in_a_year_that_is_carried_over_goes_into_the_next() {
        let (mut garden, dollars) = with_money("USD", 0);
        let read = typed(Happened::Paid, "4.31")
            .read(&garden, dollars)
            .unwrap();
        assert_eq!(read.document(&garden), DocumentName::Ledger(2026));
        let opening = Opening {
            from: 2026,
            on: Day::parse("2027-01-02").unwrap(),
            balances: Map::new(),
            written_by: member(1),
        };
        let next = Ledger {
            opening: Some(Arc::new(opening)),
            ..Ledger::default()
        };
        garden.ledgers.insert(2027, next);
        assert_eq!(read.document(&garden), DocumentName::Ledger(2027));
    }
}
