//! A year's ledger for the treasurer's spreadsheet (CSV) and for other programs (JSON): every line of every account.
//!
//! Each thing that happened stands on two accounts, so the amounts that count sum to nothing, and a sum by account is its
//! balance. Words that people typed are made safe: a spreadsheet takes a cell that begins with `=`, `+`, `-`, `@`, a tab or a
//! line end for a formula, so such a cell begins with an apostrophe instead.

use serde::Serialize;

use crate::document::balance::{self, LineFrom};
use crate::document::shared_out::payer_name;
use crate::document::{Garden, ids::MemberId};
use crate::quantities::{BadInput, Currency};

/// A year's ledger.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LedgerSheet {
    /// Which year.
    pub year: i16,
    /// The ISO 4217 code of the garden's currency.
    pub currency: &'static str,
    /// What every account owes at the end, below nothing for what it is owed.
    pub accounts: Vec<SheetAccount>,
    /// Every line, account by account, earliest first.
    pub lines: Vec<SheetLine>,
}

/// An account of the sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SheetAccount {
    /// What it is called.
    pub account: String,
    /// What it owes, as a decimal number.
    pub owes: String,
}

/// A line of the sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SheetLine {
    /// On which day, as `2026-04-03`.
    pub day: String,
    /// On whose account.
    pub account: String,
    /// What happened.
    pub what: String,
    /// The account on the other side, of an entry.
    pub with: String,
    /// The order it is about.
    pub order: String,
    /// What it adds to what the account owes, as a decimal number.
    pub amount: String,
    /// Whether it counts: `yes`, or `no` before it is confirmed.
    pub counts: &'static str,
    /// Who wrote it, of an entry.
    pub written_by: String,
    /// A word about it.
    pub word: String,
}

/// The names of the columns, in their order.
const COLUMNS: [&str; 9] = [
    "day",
    "account",
    "what",
    "with",
    "order",
    "amount",
    "counts",
    "written_by",
    "word",
];

/// The ledger of a year, with what was carried over into it.
pub fn of_year(garden: &Garden, year: i16) -> Result<LedgerSheet, BadInput> {
    let profile = garden
        .profile
        .as_ref()
        .filter(|_| garden.ledgers.contains_key(&year));
    let currency = profile
        .ok_or_else(|| BadInput::new("year", "a year whose ledger is open", year.to_string()))?
        .currency;
    let mut sheet = LedgerSheet {
        year,
        currency: currency.code(),
        accounts: Vec::new(),
        lines: Vec::new(),
    };
    for (payer, account) in balance::all_of_year(garden, year) {
        let name = payer_name(garden, payer);
        sheet.accounts.push(SheetAccount {
            account: name.clone(),
            owes: account.owed.plain(currency),
        });
        let lines = account.lines.iter();
        sheet
            .lines
            .extend(lines.map(|line| sheet_line(garden, &name, line, currency)));
    }
    Ok(sheet)
}

fn sheet_line(
    garden: &Garden,
    account: &str,
    line: &balance::BalanceLine,
    currency: Currency,
) -> SheetLine {
    let order = line.order.and_then(|order| garden.order(order));
    let who = |member: MemberId| garden.name_of(member).to_owned();
    let (with, written_by, word) = match &line.from {
        LineFrom::Entry(entry) => (
            payer_name(garden, entry.with),
            who(entry.written_by),
            entry.word.clone(),
        ),
        LineFrom::CarriedOver(_) | LineFrom::Share(_) | LineFrom::Invoice(_) => {
            (String::new(), String::new(), String::new())
        }
    };
    SheetLine {
        day: line.day.to_string(),
        account: account.to_owned(),
        what: line.words(),
        with,
        order: order
            .map(|(_, order)| order.title.clone())
            .unwrap_or_default(),
        amount: line.adds.plain(currency),
        counts: if line.counts { "yes" } else { "no" },
        written_by,
        word,
    }
}

impl LedgerSheet {
    /// The lines as a table for a spreadsheet.
    pub fn to_csv(&self) -> Result<String, BadInput> {
        let failed =
            |error: csv::Error| BadInput::new("ledger", "lines to write", error.to_string());
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(COLUMNS).map_err(failed)?;
        for line in &self.lines {
            let cells = [
                line.day.clone(),
                safe(&line.account),
                safe(&line.what),
                safe(&line.with),
                safe(&line.order),
                line.amount.clone(),
                line.counts.to_owned(),
                safe(&line.written_by),
                safe(&line.word),
            ];
            writer.write_record(cells).map_err(failed)?;
        }
        let bytes = writer
            .into_inner()
            .map_err(|error| BadInput::new("ledger", "lines to write", error.to_string()))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

impl LedgerSheet {
    /// The whole sheet for other programs.
    pub fn to_json(&self) -> Result<String, BadInput> {
        serde_json::to_string_pretty(self)
            .map_err(|error| BadInput::new("ledger", "lines to write", error.to_string()))
    }
}

/// A cell that no spreadsheet takes for a formula.
pub(super) fn safe(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use crate::ordered::Map;
    use std::sync::Arc;

    use super::*;
    use crate::document::Ledger;
    use crate::document::ids::EntryId;
    use crate::document::records::{Entry, EntryKind, Member, Payer, Profile, Role};
    use crate::quantities::{Day, Moment, Money};

    fn garden(code: &str, name: &str, word: &str) -> Garden {
        let (ines, entry) = (
            MemberId::fresh(Moment::from_millis(1), [0; 10]),
            EntryId::fresh(Moment::from_millis(1), [0; 10]),
        );
        let member = Member {
            name: name.to_owned(),
            role: Role::Coordinator,
            ended_on: None,
        };
        let record = Entry {
            from: Payer::Member(ines),
            to: Payer::Garden,
            kind: EntryKind::Payment,
            amount: Money::from_minor(123_450),
            day: Day::parse("2026-04-03").unwrap(),
            order: None,
            reverses: None,
            written_by: ines,
            confirmed_by: Some(ines),
            looks_like: None,
            word: word.to_owned(),
        };
        let profile: Profile = serde_json::from_value(serde_json::json!({
            "name": "Sorrel Bank", "units": "metric", "currency": code, "time_zone": "UTC",
        }))
        .unwrap();
        let mut garden = Garden {
            profile: Some(Arc::new(profile)),
            ..Garden::default()
        };
        garden.members.insert(ines, Arc::new(member));
        let entries = Map::from([(entry, Arc::new(record))]);
        let ledger = Ledger {
            entries,
            ..Ledger::default()
        };
        garden.ledgers.insert(2026, ledger);
        garden
    }

    #[test]
    fn each_entry_stands_on_two_accounts_and_sums_to_nothing() {
        let sheet = of_year(&garden("USD", "Ines", "Cash"), 2026).unwrap();
        let expected = "day,account,what,with,order,amount,counts,written_by,word\n\
            2026-04-03,Ines,Paid,\"Garden, common beds\",,-1234.50,yes,Ines,Cash\n\
            2026-04-03,\"Garden, common beds\",Was paid,Ines,,1234.50,yes,Ines,Cash\n";
        assert_eq!(sheet.to_csv().unwrap(), expected);
        let json = serde_json::to_value(&sheet).unwrap();
        assert_eq!(json["currency"], "USD");
        assert_eq!(json["accounts"][0]["owes"], "-1234.50");
        assert_eq!(json["lines"][1]["what"], "Was paid");
    }

    #[test]
    fn amounts_have_the_digits_of_their_currency() {
        // ISO 4217: the yen has no minor unit, the Bahraini dinar has one of three digits.
        for (code, amount) in [("JPY", "123450"), ("EUR", "1234.50"), ("BHD", "123.450")] {
            let sheet = of_year(&garden(code, "Ines", ""), 2026).unwrap();
            assert_eq!(sheet.lines[1].amount, amount);
            assert_eq!(sheet.lines[0].amount, format!("-{amount}"));
        }
    }

    #[test]
    fn what_a_spreadsheet_would_run_is_kept_as_words() {
        let sheet = of_year(&garden("USD", "=cmd|' /c calc'!A0", "@SUM(A1:A9)"), 2026).unwrap();
        let text = sheet.to_csv().unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        for record in reader.records() {
            let record = record.unwrap();
            assert!(
                record
                    .iter()
                    .all(|cell| !cell.starts_with(['=', '@', '+', '\t']))
            );
            assert!(record.iter().any(|cell| cell == "'@SUM(A1:A9)"));
        }
        for odd in ["-1+1", "+1", "\t=1", "\r=1"] {
            assert!(safe(odd).starts_with('\''));
        }
        assert_eq!(safe("two = three"), "two = three");
    }

    #[test]
    fn a_year_that_is_not_open_has_no_sheet() {
        let refused = of_year(&garden("USD", "Ines", ""), 1999).unwrap_err();
        assert_eq!(refused.field, "year");
    }
}
