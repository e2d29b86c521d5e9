//! Orders by hand, and what must hold of any order.

use proptest::prelude::*;

use super::*;
use crate::quantities::Rate;

type Case = OrderCase<u8, u8>;

fn amount(count: i64) -> Amount {
    Amount::from_count(count)
}

fn bed(number: u8, square_metres: i64, holders: &[(u8, u32)]) -> LoadBed<u8, u8> {
    LoadBed {
        bed: number,
        label: format!("A{number}"),
        area: Area::from_mm2(square_metres * 1_000_000),
        holders: holders.to_vec(),
    }
}

fn pack(size: i64, minor: i64) -> Offer {
    Offer {
        size: amount(size),
        price: Money::from_minor(minor),
        breaks: Vec::new(),
    }
}

fn line(need: Need<u8>, offers: Vec<Offer>) -> LineCase<u8> {
    LineCase {
        material: "Ground limestone".to_owned(),
        counted_in: CountedIn::Weight,
        need,
        beds: Vec::new(),
        none_for: Vec::new(),
        offers,
        loose: false,
        hand_out: HandOut::Loose,
        rule: ShareRule::Need,
        left_over: LeftOver::Garden,
        delivered: None,
    }
}

fn case(lines: Vec<LineCase<u8>>) -> Case {
    OrderCase {
        beds: vec![
            bed(1, 10, &[(1, 1)]),
            bed(2, 30, &[(2, 2), (3, 1)]),
            bed(3, 20, &[]),
        ],
        lines,
        delivery: Money::ZERO,
        delivery_rule: DeliveryRule::ByGoods,
        deposit: Money::ZERO,
        currency: Currency::new("USD").unwrap(),
        units: Units::Metric,
    }
}

fn lime() -> LineCase<u8> {
    let spread = Spread::Weight(Rate::parse("100 g/m2").unwrap());
    line(Need::Spread(spread), vec![pack(2_500, 400)])
}

fn shared(case: &Case) -> OrderShares<u8, u8> {
    share(case).unwrap().result
}

/// What stands in one column, account by account: members 1, 2, 3, then the garden.
fn column(case: &Case, of: fn(&AccountShare<u8>) -> i64) -> Vec<i64> {
    shared(case).accounts.iter().map(of).collect()
}

fn taken(share: &AccountShare<u8>) -> i64 {
    share.lines[0].amount.count()
}

fn pays(share: &AccountShare<u8>) -> i64 {
    share.pays.minor()
}

#[test]
fn a_rate_over_beds_gives_everybody_their_ground_and_the_garden_the_rest() {
    let mut case = case(vec![lime()]);
    // 6 kg for 60 m²: three bags of 2.5 kg, of which 1.5 kg stays in the shed.
    assert_eq!(column(&case, taken), [1_000, 2_000, 1_000, 3_500]);
    assert_eq!(column(&case, pays), [200, 400, 200, 400]);
    case.lines[0].left_over = LeftOver::Shared;
    assert_eq!(column(&case, taken), [1_250, 2_500, 1_250, 2_500]);
    case.lines[0].beds = vec![
        BedPart::ByRule,
        BedPart::Own(amount(2_100)),
        BedPart::LeftOut,
    ];
    assert_eq!(shared(&case).lines[0].need, amount(3_100));
    assert_eq!(
        column(&case, |share| share.lines[0].need.count()),
        [1_000, 1_400, 700]
    );
}

#[test]
fn whole_packs_are_handed_out_the_largest_first() {
    let asked =
        [(1, 60), (2, 35), (3, 15)].map(|(who, count)| (Account::Member(who), amount(count)));
    let mut line = line(
        Need::Asked(asked.to_vec()),
        vec![pack(10, 600), pack(50, 2_200)],
    );
    line.counted_in = CountedIn::Pieces;
    line.hand_out = HandOut::WholePacks;
    line.rule = ShareRule::Taken;
    let case = case(vec![line]);
    let packs: Vec<Vec<i64>> = shared(&case)
        .accounts
        .iter()
        .map(|share| share.lines[0].packs.clone())
        .collect();
    // 110 pieces: two of 50 and one of 10.
    assert_eq!(packs, [[0, 1], [0, 1], [1, 0]]);
    assert_eq!(column(&case, taken), [50, 50, 10]);
    assert_eq!(column(&case, pays), [2_273, 2_273, 454]);
}

#[test]
fn each_rule_divides_the_same_bill_in_its_own_way() {
    let of = |rule| {
        let mut case = case(vec![lime()]);
        case.lines[0].rule = rule;
        column(&case, pays)
    };
    assert_eq!(of(ShareRule::Need), [200, 400, 200, 400]);
    assert_eq!(of(ShareRule::Area), [200, 400, 200, 400]);
    assert_eq!(of(ShareRule::Taken), [160, 320, 160, 560]);
    assert_eq!(of(ShareRule::Equal), [300, 300, 300, 300]);
}

/// Constructed: goods 31.00, 19.00, 50.00 and a fee of 15.00.
#[test]
fn the_delivery_goes_by_its_own_rule() {
    let asked =
        [(1, 31), (2, 19), (3, 50)].map(|(who, count)| (Account::Member(who), amount(count)));
    let mut case = case(vec![line(Need::Asked(asked.to_vec()), vec![pack(1, 100)])]);
    case.delivery = Money::from_minor(1_500);
    let delivery = |case: &Case| column(case, |share| share.delivery.minor());
    assert_eq!(delivery(&case), [465, 285, 750]);
    case.delivery_rule = DeliveryRule::Equally;
    assert_eq!(delivery(&case), [500, 500, 500]);
    case.delivery_rule = DeliveryRule::ByWeight;
    assert_eq!(delivery(&case), [465, 285, 750]);
    case.deposit = Money::from_minor(1_150);
    assert_eq!(
        column(&case, |share| share.deposit.minor()),
        [357, 218, 575]
    );
    case.lines[0].counted_in = CountedIn::Pieces;
    let refusal = share(&case).unwrap_err().to_string();
    assert!(
        refusal.starts_with("delivery by weight: expected"),
        "{refusal}"
    );
}

#[test]
fn a_short_delivery_is_missing_for_all_in_proportion() {
    let mut case = case(vec![lime()]);
    case.lines[0].delivered = Some(Delivered {
        counts: vec![2],
        amount: Amount::ZERO,
        goods: Money::from_minor(777),
    });
    assert_eq!(column(&case, taken), [833, 1_667, 833, 1_667]);
    assert_eq!(column(&case, pays).iter().sum::<i64>(), 777);
    case.lines[0].none_for = vec![Account::Member(2)];
    assert_eq!(
        column(&case, taken),
        [1_000, 1_000, 3_000],
        "what one does not take, others have"
    );
}

#[test]
fn what_cannot_be_shared_is_refused_by_name() {
    let refused = |case: &Case| share(case).unwrap_err().to_string();
    assert!(refused(&case(Vec::new())).starts_with("lines"));
    let nobody = case(vec![line(Need::Asked(Vec::new()), vec![pack(1, 1)])]);
    assert!(refused(&nobody).starts_with("amounts"));
    let mut no_ground = case(vec![line(
        Need::Asked(vec![(Account::Member(9), amount(5))]),
        vec![pack(1, 1)],
    )]);
    no_ground.lines[0].rule = ShareRule::Area;
    assert!(refused(&no_ground).starts_with("sharing by bed area of Ground limestone"));
    let mut ahead = case(vec![lime()]);
    ahead.deposit = Money::from_minor(1_201);
    assert!(refused(&ahead).starts_with("deposit"));
}

#[test]
fn a_line_that_nobody_asked_for_yet_stops_nothing() {
    let case = case(vec![
        lime(),
        line(Need::Asked(Vec::new()), vec![pack(1, 1)]),
    ]);
    assert_eq!(shared(&case).total.minor(), 1_200);
}

#[test]
fn the_working_of_an_account_ends_in_what_it_pays() {
    let mut case = case(vec![lime()]);
    case.delivery = Money::from_minor(100);
    let shares = shared(&case);
    let answer = account_working(&case, &shares, &shares.accounts[0]);
    let steps: Vec<String> = answer
        .steps
        .iter()
        .map(|step| format!("{} | {}", step.label, step.value))
        .collect();
    let expected = [
        "Ground limestone: 100 g/m² on 10.0 m² | 1.0 kg",
        "Part of $12.00 by what each needs, 1.0 kg of 6.0 kg | $2.00",
        "Delivery $1.00, by the price of what was ordered | $0.17",
        "To pay | $2.17",
    ];
    assert_eq!(steps, expected);
    let shed = account_working(&case, &shares, shares.accounts.last().unwrap());
    assert!(
        shed.steps
            .iter()
            .any(|step| step.label == "With what stays in the shed")
    );
}

fn some_need() -> impl Strategy<Value = Need<u8>> {
    prop_oneof![
        (1_i64..500_000_000)
            .prop_map(|rate| Need::Spread(Spread::Weight(Rate::from_micrograms_per_m2(rate)))),
        (0_i64..100_000).prop_map(|total| Need::Even(amount(total))),
        prop::collection::vec((0_u8..9, 0_i64..5_000), 0..9).prop_map(|asked| {
            let who = |who| {
                if who == 0 {
                    Account::Garden
                } else {
                    Account::Member(who)
                }
            };
            Need::Asked(
                asked
                    .into_iter()
                    .map(|(one, count)| (who(one), amount(count)))
                    .collect(),
            )
        }),
    ]
}

fn some_offers() -> impl Strategy<Value = Vec<Offer>> {
    let offer = (
        1_i64..12,
        0_i64..5_000,
        prop::option::of((2_i64..30, 0_i64..5_000)),
    );
    let made = offer.prop_map(|(size, minor, step)| {
        let breaks = step.map(|(from, price)| (from, Money::from_minor(price.min(minor))));
        Offer {
            breaks: breaks.into_iter().collect(),
            ..pack(size * 500, minor)
        }
    });
    prop::collection::vec(made, 1..4)
}

prop_compose! {
    fn some_line()(
        need in some_need(),
        mut offers in some_offers(),
        (loose, whole, shed) in (any::<bool>(), any::<bool>(), any::<bool>()),
        rule in prop::sample::select(ShareRule::ALL.to_vec()),
        left_out in prop::collection::vec(any::<bool>(), 0..6),
        delivered in prop::option::of((0_i64..40, 0_i64..1_000_000)),
    ) -> LineCase<u8> {
        if loose {
            offers.truncate(1);
        }
        let delivered = delivered.map(|(count, goods)| Delivered {
            counts: if loose { Vec::new() } else { vec![count; offers.len()] },
            amount: amount(count * 1_000),
            goods: Money::from_minor(goods),
        });
        LineCase {
            loose,
            rule,
            hand_out: if whole { HandOut::WholePacks } else { HandOut::Loose },
            left_over: if shed { LeftOver::Garden } else { LeftOver::Shared },
            beds: left_out.iter().map(|out| if *out { BedPart::LeftOut } else { BedPart::ByRule }).collect(),
            delivered,
            ..line(need, offers)
        }
    }
}

prop_compose! {
    fn some_order()(
        grounds in prop::collection::vec((1_i64..80, prop::collection::vec((1_u8..9, 1_u32..4), 0..3)), 1..8),
        lines in prop::collection::vec(some_line(), 1..4),
        delivery in 0_i64..10_000,
        rule in prop::sample::select(vec![DeliveryRule::Equally, DeliveryRule::ByGoods, DeliveryRule::ByWeight]),
        code in prop::sample::select(vec!["USD", "JPY", "BHD"]),
    ) -> Case {
        let beds = grounds.into_iter().zip(1_u8..).map(|((size, mut holders), number)| {
            holders.sort_unstable();
            holders.dedup_by_key(|(who, _)| *who);
            bed(number, size, &holders)
        });
        Case {
            beds: beds.collect(),
            delivery: Money::from_minor(delivery),
            delivery_rule: rule,
            currency: Currency::new(code).unwrap(),
            ..case(lines)
        }
    }
}

/// Whether each is within one unit of the exact share, and the shares sum to the whole.
fn keeps_quota(whole: i64, parts: &[(i64, i64)]) -> bool {
    let sum: i64 = parts.iter().map(|(_, weight)| weight).sum();
    parts.iter().map(|(part, _)| part).sum::<i64>() == whole
        && parts.iter().all(|(part, weight)| {
            let off = i128::from(*part) * i128::from(sum) - i128::from(whole) * i128::from(*weight);
            off.abs() < i128::from(sum)
        })
}

proptest! {
    #[test]
    fn every_column_sums_to_the_whole(case in some_order()) {
        let Ok(answer) = share(&case) else { return Ok(()) };
        let shares = answer.result;
        let sum = |of: fn(&AccountShare<u8>) -> i64| shares.accounts.iter().map(of).sum::<i64>();
        prop_assert_eq!(sum(pays), shares.total.minor());
        prop_assert_eq!(sum(|share| share.goods.minor()), shares.goods.minor());
        prop_assert_eq!(sum(|share| share.delivery.minor()), case.delivery.minor());
        for (place, line) in shares.lines.iter().enumerate() {
            let of = |read: fn(&LinePart) -> i64| shares.accounts.iter().map(|share| read(&share.lines[place])).sum::<i64>();
            prop_assert_eq!(of(|part| part.need.count()), line.need.count());
            prop_assert_eq!(of(|part| part.amount.count()), line.bought.count());
            prop_assert_eq!(of(|part| part.goods.minor()), line.goods.minor());
            if case.lines[place].delivered.is_none() && case.lines[place].counted_in == CountedIn::Weight {
                // At most half a gram a pack below the need, and half a gram for the need; of mixed sizes one pack more.
                let packs = line.counts.iter().sum::<i64>() + i64::from(line.counts.len() > 1);
                prop_assert!(2 * line.bought.count() + packs + 1 >= 2 * line.need.count());
            }
        }
    }

    #[test]
    fn each_share_is_within_one_unit_of_its_quota(case in some_order()) {
        let Ok(answer) = share(&case) else { return Ok(()) };
        let shares = answer.result;
        for (place, (line, shared)) in case.lines.iter().zip(&shares.lines).enumerate() {
            if shared.need.is_zero() {
                continue;
            }
            let weight = |part: &LinePart| match line.rule {
                ShareRule::Need => part.need.count(),
                ShareRule::Area => part.area.mm2(),
                ShareRule::Taken => part.amount.count(),
                ShareRule::Equal => i64::from(part.need.is_positive()),
            };
            let parts: Vec<(i64, i64)> = shares.accounts.iter()
                .map(|share| (share.lines[place].goods.minor(), weight(&share.lines[place])))
                .collect();
            if parts.iter().any(|(_, weight)| *weight > 0) {
                prop_assert!(keeps_quota(shared.goods.minor(), &parts));
            }
            if line.offers.len() == 1 && line.hand_out == HandOut::WholePacks && !line.loose && line.left_over == LeftOver::Shared {
                let parts: Vec<(i64, i64)> = shares.accounts.iter()
                    .map(|share| (share.lines[place].packs[0], share.lines[place].need.count()))
                    .collect();
                // By the exact need, but for the rounding of amounts to base units.
                let sum: i64 = parts.iter().map(|(_, need)| need).sum();
                for (packs, need) in parts {
                    let exact = i128::from(shared.counts[0]) * i128::from(need);
                    let off = (i128::from(packs) * i128::from(sum) - exact).abs();
                    prop_assert!(off <= i128::from(sum) * 2);
                }
            }
        }
    }

    #[test]
    fn the_order_in_which_people_stand_changes_nothing(case in some_order(), turn in 0_usize..8) {
        let Ok(answer) = share(&case) else { return Ok(()) };
        let mut other = case.clone();
        for line in &mut other.lines {
            if let Need::Asked(asked) = &mut line.need {
                let turn = turn % asked.len().max(1);
                asked.rotate_left(turn);
                asked.reverse();
            }
        }
        prop_assert_eq!(share(&other).unwrap().result, answer.result);
    }
}
