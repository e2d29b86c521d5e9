//! Every column of a shared load adds up to the whole, and everybody can see why.

use proptest::prelude::*;

use super::*;
use crate::reckoning::Caution;

fn dollars() -> Currency {
    Currency::new("USD").unwrap()
}

fn bed(
    label: &str,
    square_feet: u32,
    holders: &[(&'static str, u32)],
) -> LoadBed<String, &'static str> {
    LoadBed {
        bed: label.to_owned(),
        label: label.to_owned(),
        area: Area::parse(&format!("{square_feet} sq ft")).unwrap(),
        holders: holders.to_vec(),
    }
}

/// 8000 square feet of invented beds, limed at 75 lb per 1000.
fn lime() -> LoadCase<String, &'static str> {
    LoadCase {
        material: "Ground limestone".to_owned(),
        rate: Rate::parse("75 lb/1000 sq ft").unwrap(),
        beds: vec![
            bed("A1", 192, &[("Ines", 1)]),
            bed("A2", 192, &[("Ines", 1)]),
            bed("C4", 360, &[("Mika", 1)]),
            bed("B1", 900, &[("Tomasz", 2), ("Wren", 1)]),
            bed("D1", 6_356, &[]),
        ],
        bag: Mass::parse("50 lb").unwrap(),
        bag_price: Money::from_minor(699),
        delivery: Money::from_minor(1_200),
        currency: dollars(),
        units: Units::UsCustomary,
    }
}

fn refusal(change: impl FnOnce(&mut LoadCase<String, &'static str>)) -> String {
    let mut case = lime();
    change(&mut case);
    share(&case).unwrap_err().to_string()
}

#[test]
fn a_load_with_its_whole_working() {
    let answer = share(&lime()).unwrap();
    let text = answer.to_string();
    let expected = "\
Ground limestone: 600.0 lb for 8,000 sq ft, 12 bags, $95.88
  Ines                      384 sq ft      28.8 lb   1 bags        $4.61
  Mika                      360 sq ft      27.0 lb   1 bags        $4.31
  Tomasz                    600 sq ft      45.0 lb   1 bags        $7.19
  Wren                      300 sq ft      22.5 lb   0 bags        $3.60
  Garden                  6,356 sq ft     476.7 lb   9 bags       $76.17
  Rate                              75.0 lb/1000 sq ft
  Area of 5 beds                           8,000 sq ft
  Ground limestone needed                     600.0 lb
  Whole bags of 50.0 lb                             12
  In them                                     600.0 lb
  Above the need, kept in the shed              0.0 lb
  12 bags at $6.99                              $83.88
  Delivery                                      $12.00
                                    ------------------
  Whole bill                                    $95.88
";
    assert!(text.starts_with(expected), "{text}");
    assert!(
        text.contains("Each column adds up to the whole: $95.88 exactly."),
        "{text}"
    );
    assert_eq!(answer.cautions, [Caution::LimeDust, Caution::Lifting]);
}

#[test]
fn a_member_sees_how_the_share_was_reached() {
    let shares = share(&lime()).unwrap().result;
    let lines = |index: usize| -> Vec<String> {
        shares.accounts[index]
            .steps
            .iter()
            .map(|step| format!("{}: {}", step.label, step.value))
            .collect()
    };
    assert_eq!(
        lines(1),
        [
            "Rate: 75.0 lb/1000 sq ft",
            "Area of C4: 360 sq ft",
            "Ground limestone for C4: 27.0 lb",
            "Whole bags to take, of 12: 1",
            "Bags $83.88 by area, 360 sq ft of 8,000 sq ft: $3.77",
            "Delivery $12.00 by area: $0.54",
            "To pay: $4.31",
        ]
    );
    assert_eq!(
        lines(0)[1..5],
        [
            "Area of A1: 192 sq ft",
            "Area of A2: 192 sq ft",
            "Area of 2 beds together: 384 sq ft",
            "Ground limestone for A1, A2: 28.8 lb"
        ]
    );
    assert_eq!(lines(2)[1], "Area of B1, 2 of 3 parts: 600 sq ft");
}

#[test]
fn what_is_left_over_stands_on_the_gardens_account() {
    let mut case = lime();
    case.beds.retain(|bed| !bed.holders.is_empty());
    let shares = share(&case).unwrap().result;
    // 1644 sq ft need 123.3 lb: three bags, and no common bed.
    assert_eq!(shares.bags, 3);
    let garden = shares.accounts.last().unwrap();
    assert_eq!(
        (garden.account, garden.area, garden.mass),
        (Account::Garden, Area::ZERO, shares.left_over)
    );
    assert_eq!(garden.pays, Money::ZERO);
}

#[test]
fn an_equal_split_is_the_same_bill_shared_otherwise() {
    let shares = share(&lime()).unwrap().result;
    let even = shares.equal_split();
    assert_eq!(
        even.iter().map(|share| share.pays).sum::<Money>(),
        shares.total
    );
    assert_eq!(
        even.iter()
            .map(|share| share.difference.minor())
            .sum::<i64>(),
        0
    );
    assert_eq!(even[1].pays, Money::from_minor(1_918));
    assert_eq!(even[1].difference, Money::from_minor(1_918 - 431));
}

#[test]
fn the_bracket_is_the_one_in_pounds() {
    let (low, high) = COMMON_LIME_BRACKET;
    assert_eq!(low, Rate::parse("50 lb/1000 sq ft").unwrap());
    assert_eq!(high, Rate::parse("100 lb/1000 sq ft").unwrap());
}

#[test]
fn senseless_cases_are_refused_by_the_name_of_the_field() {
    assert!(refusal(|case| case.rate = Rate::ZERO).starts_with("rate: expected more than nothing"));
    assert!(
        refusal(|case| case.rate = Rate::from_micrograms_per_m2(i64::MAX)).starts_with("rate: ")
    );
    assert!(
        refusal(|case| case.rate = Rate::from_micrograms_per_m2(1))
            .starts_with("rate: expected at least a gram")
    );
    assert!(refusal(|case| case.bag = Mass::ZERO).starts_with("weight of a bag: "));
    assert!(refusal(|case| case.bag_price = Money::from_minor(-1)).starts_with("price of a bag: "));
    assert!(refusal(|case| case.delivery = Money::from_minor(i64::MAX)).starts_with("delivery: "));
    assert!(refusal(|case| case.material = " ".into()).starts_with("material: "));
    assert!(refusal(|case| case.beds.clear()).starts_with("beds: expected 1 to 2000 beds"));
    assert!(refusal(|case| case.beds[2].area = Area::ZERO).starts_with("area of bed C4: "));
    assert!(refusal(|case| case.beds[3].holders[0].1 = 0).starts_with("parts of bed B1: "));
    assert!(refusal(|case| case.beds[3].holders[0].0 = "Wren").starts_with("holders of bed B1: "));
    assert!(
        refusal(|case| case.beds[1].bed = "A1".into()).starts_with("beds: expected each bed once")
    );
}

fn cases() -> impl Strategy<Value = LoadCase<usize, u8>> {
    let holders = prop::collection::btree_map(0_u8..12, 1_u32..5, 0..4);
    let beds = prop::collection::vec((1_i64..500_000_000, holders), 1..25);
    (
        beds,
        100_000_i64..20_000_000_000,
        500_i64..50_000,
        0_i64..100_000,
        0_i64..50_000,
    )
        .prop_map(|(beds, rate, bag, bag_price, delivery)| LoadCase {
            material: "Compost".to_owned(),
            rate: Rate::from_micrograms_per_m2(rate),
            beds: beds
                .into_iter()
                .enumerate()
                .map(|(bed, (area, holders))| LoadBed {
                    bed,
                    label: bed.to_string(),
                    area: Area::from_mm2(area),
                    holders: holders.into_iter().collect(),
                })
                .collect(),
            bag: Mass::from_grams(bag),
            bag_price: Money::from_minor(bag_price),
            delivery: Money::from_minor(delivery),
            currency: dollars(),
            units: Units::Metric,
        })
}

proptest! {
    #[test]
    fn every_column_sums_to_the_whole(case in cases()) {
        let Ok(answer) = share(&case) else { return Ok(()) };
        let shares = answer.result;
        prop_assert_eq!(shares.beds.iter().map(|bed| bed.mass).sum::<Mass>(), shares.need);
        prop_assert_eq!(shares.need.checked_add(shares.left_over), Some(shares.bought));
        let accounts = &shares.accounts;
        prop_assert_eq!(accounts.iter().map(|share| share.area).sum::<Area>(), shares.area);
        prop_assert_eq!(accounts.iter().map(|share| share.mass).sum::<Mass>(), shares.bought);
        prop_assert_eq!(accounts.iter().map(|share| share.bags).sum::<i64>(), shares.bags);
        prop_assert_eq!(accounts.iter().map(|share| share.goods).sum::<Money>(), shares.goods);
        prop_assert_eq!(accounts.iter().map(|share| share.delivery).sum::<Money>(), shares.delivery);
        prop_assert_eq!(accounts.iter().map(|share| share.pays).sum::<Money>(), shares.total);
        prop_assert_eq!(shares.goods.checked_add(shares.delivery), Some(shares.total));
    }

    #[test]
    fn nobody_pays_a_coin_more_than_the_area_asks(case in cases()) {
        let Ok(answer) = share(&case) else { return Ok(()) };
        let shares = answer.result;
        for share in &shares.accounts {
            let exact = i128::from(shares.total.minor()) * i128::from(share.area.mm2());
            let off = (i128::from(share.pays.minor()) * i128::from(shares.area.mm2()) - exact).abs();
            // Goods and delivery are rounded each: less than two coins away together.
            prop_assert!(off < 2 * i128::from(shares.area.mm2()), "{:?}", share);
        }
    }
}
