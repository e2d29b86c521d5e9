//! The form of what a garden has agreed on about money and shared work.

use selion_core::document::records::GardenRules;
use selion_core::quantities::{BadInput, Currency, Money};

use super::wording::capital;

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RulesTyped {
    /// How hours are due: `area`, `head` or `mix`.
    pub due: String,
    /// How much of a mix goes by bed area, in percent.
    pub by_area: String,
    /// Whether work and money are set against each other.
    pub in_lieu: bool,
    /// What an hour stands for.
    pub hour: String,
    /// Whether members see each other's balances.
    pub open: bool,
}

/// By bed area alone.
pub const BY_AREA: &str = "area";
/// By head alone.
pub const BY_HEAD: &str = "head";
/// Some of each.
pub const MIX: &str = "mix";

/// A field of the form and what is wrong with it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RulesWrong {
    /// What is wrong with the percentage.
    pub by_area: Option<String>,
    /// What is wrong with the rate.
    pub hour: Option<String>,
}

impl RulesTyped {
    /// The form as it stands.
    pub fn of(rules: &GardenRules, currency: Currency) -> Self {
        let due = match rules.hours_by_area {
            100 => BY_AREA,
            0 => BY_HEAD,
            _ => MIX,
        };
        let in_lieu = rules.hour_in_lieu.is_positive();
        let is_mix = due == MIX;
        Self {
            due: due.to_owned(),
            by_area: if is_mix { rules.hours_by_area } else { 50 }.to_string(),
            in_lieu,
            hour: if in_lieu {
                rules.hour_in_lieu.show_number(currency)
            } else {
                String::new()
            },
            open: rules.balances_open,
        }
    }

    /// The rules that were typed.
    pub fn read(&self, currency: Currency) -> Result<GardenRules, RulesWrong> {
        let mut wrong = RulesWrong::default();
        let hours_by_area = match self.due.as_str() {
            BY_AREA => 100,
            BY_HEAD => 0,
            _ => percent(&self.by_area).unwrap_or_else(|bad| {
                wrong.by_area = Some(capital(&bad.to_string()));
                0
            }),
        };
        let hour_in_lieu = if self.in_lieu {
            rate(&self.hour, currency).unwrap_or_else(|bad| {
                wrong.hour = Some(capital(&bad.to_string()));
                Money::ZERO
            })
        } else {
            Money::ZERO
        };
        if wrong != RulesWrong::default() {
            return Err(wrong);
        }
        Ok(GardenRules {
            balances_open: self.open,
            hour_in_lieu,
            hours_by_area,
        })
    }
}

fn percent(typed: &str) -> Result<i64, BadInput> {
    let number = typed.trim().trim_end_matches('%').trim_end().parse::<i64>();
    let number = number.ok().filter(|percent| (1..100).contains(percent));
    number.ok_or_else(|| BadInput::new("percent by bed area", "a whole number from 1 to 99", typed))
}

fn rate(typed: &str, currency: Currency) -> Result<Money, BadInput> {
    let money = Money::parse(typed, currency).map_err(|bad| bad.named("an hour"))?;
    if money.is_positive() {
        Ok(money)
    } else {
        Err(BadInput::new("an hour", "more than nothing", typed))
    }
}

/// The rules in sentences: how hours are due, whether they can be paid, who sees balances.
pub fn words(rules: &GardenRules, currency: Currency) -> [(&'static str, String); 3] {
    let due = match rules.hours_by_area {
        100 => "By bed area".to_owned(),
        0 => "The same for everybody who holds a bed".to_owned(),
        percent => {
            format!("{percent} % by bed area, the rest the same for everybody who holds a bed")
        }
    };
    let in_lieu = if rules.hour_in_lieu.is_positive() {
        format!("An hour stands for {}", rules.hour_in_lieu.show(currency))
    } else {
        "Hours are not set against money".to_owned()
    };
    let open = if rules.balances_open {
        "Members see each other’s accounts"
    } else {
        "Members see their own account; coordinators see all"
    };
    [
        ("Hours due", due),
        ("In lieu", in_lieu),
        ("Accounts", open.to_owned()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dollars() -> Currency {
        Currency::new("USD").unwrap()
    }

    fn rules(by_area: i64, hour: i64) -> GardenRules {
        GardenRules {
            balances_open: true,
            hour_in_lieu: Money::from_minor(hour),
            hours_by_area: by_area,
        }
    }

    #[test]
    fn rules_shown_and_read_again_are_the_same() {
        for before in [
            rules(100, 0),
            rules(0, 1_250),
            rules(70, 900),
            GardenRules::default(),
        ] {
            let typed = RulesTyped::of(&before, dollars());
            assert_eq!(typed.read(dollars()), Ok(before));
        }
    }

    #[test]
    fn a_rate_or_share_that_cannot_be_says_so_beside_its_field() {
        let typed = RulesTyped {
            due: MIX.into(),
            by_area: "100".into(),
            in_lieu: true,
            hour: "0".into(),
            open: false,
        };
        let wrong = typed.read(dollars()).unwrap_err();
        assert!(wrong.by_area.unwrap().contains("from 1 to 99"));
        assert!(wrong.hour.unwrap().contains("more than nothing"));
        let not_asked = RulesTyped {
            due: BY_AREA.into(),
            in_lieu: false,
            ..typed
        };
        assert!(
            not_asked.read(dollars()).is_ok(),
            "fields that do not show are not read"
        );
    }

    #[test]
    fn the_rules_are_told_in_sentences() {
        let told = |rules| words(&rules, dollars()).map(|(_, words)| words);
        assert_eq!(
            told(rules(70, 1_250)),
            [
                "70 % by bed area, the rest the same for everybody who holds a bed",
                "An hour stands for $12.50",
                "Members see each other’s accounts"
            ]
        );
        assert_eq!(
            told(GardenRules::default())[1],
            "Hours are not set against money"
        );
    }
}
