//! How a shared order is explained: the whole, and each account's part, worked out only when somebody looks.

use super::super::accounts::{Account, LoadBed};
use super::super::buying::Offer;
use super::super::load::cautions;
use super::{
    AccountShare, HandOut, LeftOver, LineCase, LinePart, LineShares, Need, OrderCase, OrderShares,
    ShareRule,
};
use crate::quantities::{Amount, CountedIn, Depth, Mass, Money, Rate, Spread};
use crate::reckoning::{Reckoning, Source, Step};

/// How rounding and ties are explained to people.
const ROUNDING: &str = "Base units, packs and the smallest coin go by largest remainder: everyone gets the whole part, what is left goes one by one to the largest remainders; on a tie to the larger, then to whoever joined the garden earlier, the garden last.";

/// Shares with the working of the whole, whether they were just worked out or frozen long ago.
pub fn explained<B, M>(
    case: &OrderCase<B, M>,
    shares: OrderShares<B, M>,
) -> Reckoning<OrderShares<B, M>> {
    let currency = case.currency;
    let mut steps = Vec::new();
    for (line, shared) in case.lines.iter().zip(&shares.lines) {
        line_steps(case, line, shared, &mut steps);
    }
    if case.delivery.is_positive() {
        steps.push(Step::new(
            format!("Delivery, {}", case.delivery_rule.words()),
            case.delivery.show(currency),
        ));
    }
    steps.push(Step::sum("Whole bill", shares.total.show(currency)));
    if case.deposit.is_positive() {
        steps.push(Step::new("Of that paid ahead", case.deposit.show(currency)));
    }
    let whole = shares.total.show(currency);
    let source =
        Source::arithmetic("Amounts and prices as put in; shared by the rules of the order.");
    let mut answer = Reckoning::new(shares, source)
        .on("Bed areas as drawn on the plan; a bed with several holders counts for each by parts.")
        .rounded(format!(
            "{ROUNDING} Each column adds up to the whole: {whole} exactly."
        ));
    answer.steps = steps;
    for line in &case.lines {
        let pack = heaviest_pack(line);
        for caution in cautions(&line.material, pack) {
            if !answer.cautions.contains(&caution) {
                answer = answer.caution(caution);
            }
        }
    }
    answer
}

fn heaviest_pack<M>(line: &LineCase<M>) -> Mass {
    if line.loose || line.counted_in != CountedIn::Weight {
        return Mass::ZERO;
    }
    let sizes = line.offers.iter().map(|offer| offer.size.count());
    Mass::from_grams(sizes.max().unwrap_or(0))
}

fn line_steps<B, M>(
    case: &OrderCase<B, M>,
    line: &LineCase<M>,
    shared: &LineShares<B>,
    steps: &mut Vec<Step>,
) {
    let (units, currency) = (case.units, case.currency);
    let show = |amount: Amount| line.counted_in.show(amount, units);
    match &line.need {
        Need::Spread(spread) if is_nothing(*spread) => steps.push(Step::new(
            format!(
                "{}, each of {} beds with its own amount",
                line.material,
                shared.beds.len()
            ),
            show(shared.need),
        )),
        Need::Spread(spread) => steps.push(Step::new(
            format!(
                "{} on {} of {} beds",
                spread.show(units),
                shared.area.show(units),
                shared.beds.len()
            ),
            show(shared.need),
        )),
        Need::Even(_) => steps.push(Step::new(
            format!("{} split over {}", line.material, shared.area.show(units)),
            show(shared.need),
        )),
        Need::Asked(_) => {
            steps.push(Step::new(
                format!("{} asked for", line.material),
                show(shared.need),
            ));
        }
    }
    for bought in purchases(line, shared, case) {
        steps.push(bought);
    }
    if shared.bought < shared.need {
        let short = shared
            .need
            .checked_sub(shared.bought)
            .unwrap_or(Amount::ZERO);
        steps.push(Step::new(
            "Short, missing for all in proportion",
            show(short),
        ));
    }
    if shared.left_over.is_positive() {
        let label = match line.left_over {
            LeftOver::Garden => "Above the need, kept in the shed",
            LeftOver::Shared => "Above the need, shared by need",
        };
        steps.push(Step::new(label, show(shared.left_over)));
    }
    steps.push(Step {
        label: format!("{}, paid {}", line.material, line.rule.words()),
        value: shared.goods.show(currency),
        is_sum: true,
    });
}

/// Whether the rate is no rate: every bed then has an amount of its own.
fn is_nothing(spread: Spread) -> bool {
    matches!(
        spread,
        Spread::Weight(Rate::ZERO) | Spread::Layer(Depth::ZERO)
    )
}

/// What is bought, one line a size.
fn purchases<B, M>(
    line: &LineCase<M>,
    shared: &LineShares<B>,
    case: &OrderCase<B, M>,
) -> Vec<Step> {
    let (units, currency) = (case.units, case.currency);
    let verb = if line.delivered.is_some() {
        "came"
    } else {
        "to buy"
    };
    if line.loose {
        return vec![Step::new(
            format!("Loose, {verb}"),
            line.counted_in.show(shared.bought, units),
        )];
    }
    let packs = line.offers.iter().zip(&shared.counts).zip(&shared.each);
    packs
        .filter(|((_, count), _)| **count > 0)
        .map(|((offer, count), each): ((&Offer, &i64), &Money)| {
            let size = line.counted_in.show(offer.size, units);
            // What was agreed on an invoice need not be a price times a count.
            let price = if line.delivered.is_some() {
                String::new()
            } else {
                format!(" at {}", each.show(currency))
            };
            Step::new(format!("Packs of {size}{price}, {verb}"), count.to_string())
        })
        .collect()
}

/// The working of one account: line by line to what it pays. Names of accounts are not in it.
pub fn account_working<B: PartialEq, M: PartialEq>(
    case: &OrderCase<B, M>,
    shares: &OrderShares<B, M>,
    account: &AccountShare<M>,
) -> Reckoning<Money> {
    let currency = case.currency;
    let source =
        Source::arithmetic("Amounts and prices as put in; shared by the rules of the order.");
    let mut answer = Reckoning::new(account.pays, source).rounded(ROUNDING);
    for ((line, shared), part) in case.lines.iter().zip(&shares.lines).zip(&account.lines) {
        if !part.is_nothing() {
            own_steps((case, line, shared), &account.account, &mut answer.steps);
            part_steps(
                (case, line, shared),
                part,
                matches!(account.account, Account::Garden),
                &mut answer.steps,
            );
        }
    }
    if shares.delivery.is_positive() {
        answer.steps.push(Step::new(
            format!(
                "Delivery {}, {}",
                shares.delivery.show(currency),
                case.delivery_rule.words()
            ),
            account.delivery.show(currency),
        ));
    }
    answer
        .steps
        .push(Step::sum("To pay", account.pays.show(currency)));
    if account.deposit.is_positive() {
        answer
            .steps
            .push(Step::new("Of that ahead", account.deposit.show(currency)));
    }
    answer
}

type OfLine<'a, B, M> = (&'a OrderCase<B, M>, &'a LineCase<M>, &'a LineShares<B>);

/// What goes on each bed of an account, where every bed has an amount of its own.
fn own_steps<B: PartialEq, M: PartialEq>(
    (case, line, shared): OfLine<'_, B, M>,
    account: &Account<M>,
    steps: &mut Vec<Step>,
) {
    if !matches!(line.need, Need::Spread(spread) if is_nothing(spread)) {
        return;
    }
    for part in &shared.beds {
        let bed = case.beds.iter().find(|bed| bed.bed == part.bed);
        let Some(bed) = bed.filter(|bed| is_of(bed, account)) else {
            continue;
        };
        let shared_by = match bed.holders.len() {
            0 | 1 => String::new(),
            holders => format!(", shared by {holders}"),
        };
        steps.push(Step::new(
            format!("{}: bed {}{shared_by}", line.material, bed.label),
            line.counted_in.show(part.amount, case.units),
        ));
    }
}

fn is_of<B, M: PartialEq>(bed: &LoadBed<B, M>, account: &Account<M>) -> bool {
    match account {
        Account::Garden => bed.holders.is_empty(),
        Account::Member(member) => bed.holders.iter().any(|(holder, _)| holder == member),
    }
}

fn part_steps<B, M>(
    (case, line, shared): OfLine<'_, B, M>,
    part: &LinePart,
    is_garden: bool,
    steps: &mut Vec<Step>,
) {
    let (units, currency) = (case.units, case.currency);
    let show = |amount: Amount| line.counted_in.show(amount, units);
    let label = match &line.need {
        Need::Spread(spread) if is_nothing(*spread) => {
            format!("{}, beds together", line.material)
        }
        Need::Spread(spread) => format!(
            "{}: {} on {}",
            line.material,
            spread.show(units),
            part.area.show(units)
        ),
        Need::Even(_) => format!(
            "{}: {} of {}",
            line.material,
            part.area.show(units),
            shared.area.show(units)
        ),
        Need::Asked(_) => format!("{}, asked for", line.material),
    };
    steps.push(Step::new(label, show(part.need)));
    if line.hand_out == HandOut::WholePacks && !line.loose {
        let packs = line
            .offers
            .iter()
            .zip(&part.packs)
            .filter(|(_, count)| **count > 0);
        let packs: Vec<String> = packs
            .map(|(offer, count)| format!("{count} × {}", show(offer.size)))
            .collect();
        let words = if packs.is_empty() {
            "none".to_owned()
        } else {
            packs.join(" + ")
        };
        steps.push(Step::new("Whole packs to take", words));
    } else if part.amount != part.need {
        let label = match (is_garden, shared.bought < shared.need) {
            (_, true) => "To take, since it came short",
            (true, false) if line.left_over == LeftOver::Garden => "With what stays in the shed",
            (true | false, false) => "With a part of what is left over",
        };
        steps.push(Step::new(label, show(part.amount)));
    }
    let of = match line.rule {
        ShareRule::Need => format!("{} of {}", show(part.need), show(shared.need)),
        ShareRule::Area => format!("{} of {}", part.area.show(units), shared.area.show(units)),
        ShareRule::Taken => format!("{} of {}", show(part.amount), show(shared.bought)),
        ShareRule::Equal => String::new(),
    };
    let of = if of.is_empty() { of } else { format!(", {of}") };
    steps.push(Step::new(
        format!(
            "Part of {} {}{of}",
            shared.goods.show(currency),
            line.rule.words()
        ),
        part.goods.show(currency),
    ));
}
