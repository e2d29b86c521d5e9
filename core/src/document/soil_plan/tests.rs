//! The bridge from a garden's records to what its beds are due.

use std::sync::Arc;

use super::*;
use crate::document::ids::{AmendmentId, MemberId};
use crate::document::records::{Amendment, Amount, Bed, GardenLime, Nutrient, Profile, SoilTest};
use crate::geometry::Outline;
use crate::ordered::Map;
use crate::quantities::{Acidity, Currency, Moment, PartsPerMillion, Percent};
use crate::soil::lime::{LimeBasis, LimeMethod};
use crate::soil::liming_material::{ProductKind, Scheme};
use crate::soil::test_report::{AcidityReading, Recommendation, Texture};

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn bed(number: i64) -> BedId {
    BedId::fresh(Moment::from_millis(number), [0; 10])
}

fn rate(text: &str) -> Rate {
    Rate::parse(text).unwrap()
}

fn percent(text: &str) -> Percent {
    Percent::parse(text).unwrap()
}

/// The label of an ordinary ground limestone.
fn label() -> GardenLime {
    GardenLime {
        name: "Ground limestone".to_owned(),
        kind: ProductKind::Ground,
        cce: Some(percent("80 %")),
        scheme: None,
        effective: None,
        equals_standard_ton: Some(Mass::parse("2000 lb").unwrap()),
        bag: Some(Mass::parse("50 lb").unwrap()),
        bag_price: None,
    }
}

/// Two beds of 36 m² without a test.
fn garden(units: Units) -> Garden {
    let profile = Profile {
        latitude: None,
        frost: None,
        accept: Map::new(),
        backdrop: None,
        name: "Sorrel Bank".to_owned(),
        units,
        currency: Currency::new("USD").unwrap(),
        time_zone: "Europe/Lisbon".to_owned(),
        north_degrees: 0,
        rules: crate::document::records::GardenRules::default(),
        years: Map::new(),
        lime: Some(label()),
        compost: None,
    };
    let mut garden = Garden {
        profile: Some(Arc::new(profile)),
        ..Garden::default()
    };
    for number in [1, 2] {
        let record = Bed {
            label: format!("A{number}"),
            outline: Outline::parse("POLYGON((0 0,12000 0,12000 3000,0 3000,0 0))").unwrap(),
            holders: Map::new(),
            note: String::new(),
            ended_on: None,
        };
        garden.beds.insert(bed(number), Arc::new(record));
    }
    garden
        .seasons
        .insert(2026, crate::document::Season::default());
    garden
}

fn with_label(garden: &mut Garden, change: impl FnOnce(&mut GardenLime)) {
    let profile = Arc::make_mut(garden.profile.as_mut().unwrap());
    change(profile.lime.as_mut().unwrap());
}

fn add(garden: &mut Garden, sheet: SoilSheet) {
    let number = i64::try_from(garden.soil_tests.len()).unwrap();
    let test = SoilTest {
        sheet,
        member: MemberId::fresh(Moment::from_millis(1), [0; 10]),
        ended_on: None,
    };
    let id = SoilTestId::fresh(Moment::from_millis(number), [0; 10]);
    garden.soil_tests.insert(id, Arc::new(test));
}

fn spread(garden: &mut Garden, on: &str, what: AmendmentKind, amount: Option<Amount>) {
    let season = garden.seasons.get_mut(&2026).unwrap();
    let number = i64::try_from(season.amendments.len()).unwrap();
    let record = Amendment {
        bed: bed(1),
        day: day(on),
        what,
        amount,
        dug_in_on: None,
        member: MemberId::fresh(Moment::from_millis(1), [0; 10]),
        word: String::new(),
        ended_on: None,
    };
    let id = AmendmentId::fresh(Moment::from_millis(number), [0; 10]);
    season.amendments.insert(id, Arc::new(record));
}

fn grows(garden: &mut Garden, now: &[&str], next_year: &[&str]) {
    let all = |crops: &[&str]| {
        crops
            .iter()
            .map(|crop| ((*crop).to_owned(), true))
            .collect()
    };
    let crops = BedCrops {
        now: all(now),
        next_year: all(next_year),
    };
    let season = garden.seasons.get_mut(&2026).unwrap();
    season.bed_crops.insert(bed(1), Arc::new(crops));
}

/// The example of North Carolina's buffer acidity table: Ac 2.0, pH 5.2, target 6.5 comes to 1.857 tons an acre.
fn mehlich() -> SoilSheet {
    SoilSheet {
        ph: Some(Ph::parse("5.2").unwrap()),
        acidity: Some(AcidityReading::MehlichAcidityNc(
            Acidity::parse("2.0").unwrap(),
        )),
        texture: Some(Texture::Loam),
        ..SoilSheet::taken(day("2026-02-14"), [bed(1)])
    }
}

fn plan(garden: &Garden) -> BedPlan {
    of_bed(
        garden,
        Asked {
            bed: bed(1),
            today: day("2026-03-20"),
            placement: Placement::DugIn,
        },
    )
}

fn due(plan: &BedPlan) -> &DuePlan {
    plan.lime.as_ref().unwrap().due.as_ref().unwrap()
}

fn why(plan: &BedPlan) -> String {
    plan.lime.as_ref().unwrap_err().to_string()
}

#[test]
fn without_a_test_nobody_can_say_and_the_test_is_what_is_missing() {
    let plan = plan(&garden(Units::Metric));
    assert_eq!(plan.missing, ["a soil test"]);
    assert!(why(&plan).starts_with("A soil test of this bed is missing"));
    assert!(plan.ash.is_err());
    assert_eq!(plan.lime_due(), None);
    // Compost needs none: its ceiling is then the common practice, an estimate.
    assert!(plan.compost.unwrap().result.at_best.is_some());
}

#[test]
fn a_reading_becomes_a_need_a_product_and_doses_on_the_calendar() {
    let mut garden = garden(Units::UsCustomary);
    add(&mut garden, mehlich());
    let plan = plan(&garden);
    let lime = plan.lime.as_ref().unwrap();
    assert_eq!(lime.need.result.method, LimeMethod::MehlichNc);
    let due = due(&plan);
    assert_eq!(due.rate.show(Units::UsCustomary), "85.3 lb/1000 sq ft");
    // 36 m² are 387.5 sq ft.
    assert_eq!(due.mass.result.show(Units::UsCustomary), "33.0 lb");
    let doses = due.doses.as_ref().unwrap();
    let days: Vec<Day> = doses.result.doses.iter().map(|dose| dose.on).collect();
    assert_eq!(days, [day("2026-03-20")]);
    assert_eq!(doses.result.doses[0].mass, due.mass.result);
}

#[test]
fn on_the_surface_the_same_lime_takes_more_doses() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    let asked = Asked {
        bed: bed(1),
        today: day("2026-03-20"),
        placement: Placement::OnTheSurface,
    };
    let plan = of_bed(&garden, asked);
    let doses = &due(&plan).doses.as_ref().unwrap().result.doses;
    assert_eq!(doses.len(), 2);
    assert_eq!(doses[1].on, day("2026-09-20"));
    let sum: Mass = doses.iter().map(|dose| dose.mass).sum();
    assert_eq!(Some(sum), plan.lime_due());
}

#[test]
fn the_newest_sheet_that_was_not_struck_out_counts() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    let mut newer = mehlich();
    newer.sampled_on = day("2026-03-01");
    newer.ph = Some(Ph::parse("6.7").unwrap());
    add(&mut garden, newer);
    assert_eq!(plan(&garden).lime_due(), Some(Mass::ZERO));
    let id = *garden.soil_tests.keys().next_back().unwrap();
    let struck = Arc::make_mut(garden.soil_tests.get_mut(&id).unwrap());
    struck.ended_on = Some(day("2026-03-02"));
    assert!(plan(&garden).lime_due().unwrap().is_positive());
}

#[test]
fn a_sheet_counts_for_its_own_beds_only() {
    let mut garden = garden(Units::Metric);
    let mut of_the_other = mehlich();
    of_the_other.beds = Map::from([(bed(2), true), (bed(1), false)]);
    add(&mut garden, of_the_other);
    assert_eq!(plan(&garden).test, None);
}

#[test]
fn lime_spread_since_the_test_comes_off_and_the_next_dose_waits_half_a_year() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    let whole = plan(&garden).lime_due().unwrap();
    let half = Mass::from_grams(whole.grams() / 2);
    spread(
        &mut garden,
        "2026-03-01",
        AmendmentKind::Lime,
        Some(Amount::Mass(half)),
    );
    let plan = plan(&garden);
    let left = plan.lime_due().unwrap().grams() + half.grams() - whole.grams();
    assert!(left.abs() <= 1, "grams are rounded once");
    let doses = &due(&plan).doses.as_ref().unwrap().result.doses;
    assert_eq!(doses[0].on, day("2026-09-01"));
}

#[test]
fn ash_spread_since_comes_off_as_half_its_weight_of_lime_by_the_strength_of_the_product() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    let before = due(&plan(&garden)).rate;
    let ash = Amount::Rate(rate("80 g/m2"));
    spread(&mut garden, "2026-03-01", AmendmentKind::Ash, Some(ash));
    // 80 g of ash stand for 40 g of pure limestone, and those for 50 g of a product of 80 % CCE.
    let after = plan(&garden);
    assert_eq!(due(&after).rate, before.less(rate("50 g/m2")));
    // Of the yearly cap of 20 lb on 1000 sq ft little is left for more ash.
    let more = after.ash.unwrap().result.ash;
    assert_eq!(more, ash::yearly_cap().less(rate("80 g/m2")));
}

#[test]
fn lime_of_an_unknown_amount_is_asked_for_and_not_guessed() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    spread(&mut garden, "2026-03-01", AmendmentKind::Lime, None);
    let plan = plan(&garden);
    let refusal = plan.lime.unwrap().due.unwrap_err();
    assert!(
        refusal
            .to_string()
            .starts_with("The amount of lime spread on 2026-03-01 is missing")
    );
    assert!(plan.ash.is_err());
}

#[test]
fn a_sample_taken_right_after_liming_is_refused() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    spread(&mut garden, "2026-01-10", AmendmentKind::Lime, None);
    assert!(why(&plan(&garden)).contains("a sample of 2026-02-14 after lime on 2026-01-10"));
}

#[test]
fn manure_moves_the_lime_behind_it() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    spread(&mut garden, "2026-03-18", AmendmentKind::RawManure, None);
    let plan = plan(&garden);
    let doses = &due(&plan).doses.as_ref().unwrap().result;
    assert_eq!(doses.doses[0].on, day("2026-03-28"));
    assert!(doses.warnings[0].contains("lime and manure would lie too close"));
}

#[test]
fn next_years_potato_bed_gets_no_lime_and_no_ash() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    grows(&mut garden, &["beans"], &["potato"]);
    let plan = plan(&garden);
    assert!(!plan.target.as_ref().unwrap().result.takes_lime);
    assert!(why(&plan).starts_with("lime: the rule holds for beds without potatoes"));
    assert!(plan.ash.is_err());
}

#[test]
fn what_was_planned_for_next_year_grows_there_when_the_year_has_come() {
    let mut garden = garden(Units::Metric);
    grows(&mut garden, &["beans"], &["potato"]);
    let crops = bed_soil::crops(&garden, bed(1), 2027);
    assert_eq!(BedCrops::chosen(&crops.now), ["potato"]);
    assert!(crops.next_year.is_empty());
}

#[test]
fn crops_that_cannot_share_a_ph_are_refused_by_name() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    grows(&mut garden, &["garlic", "blueberry"], &[]);
    assert!(why(&plan(&garden)).contains("crops that can share one pH"));
}

#[test]
fn a_laboratorys_own_recommendation_goes_first_with_its_own_target() {
    let mut garden = garden(Units::UsCustomary);
    let mut sheet = mehlich();
    sheet.recommendation = Some(Recommendation {
        rate: rate("40 lb/1000 sq ft"),
        basis: LimeBasis::CalciumCarbonateEquivalent,
        target: Ph::parse("6.0").unwrap(),
        depth: None,
    });
    add(&mut garden, sheet);
    let plan = plan(&garden);
    let lime = plan.lime.as_ref().unwrap();
    assert_eq!(lime.need.result.method, LimeMethod::Laboratory);
    // Divided by the CCE of 80 %, once.
    assert_eq!(
        due(&plan).rate.show(Units::UsCustomary),
        "50.0 lb/1000 sq ft"
    );
}

#[test]
fn a_printed_table_is_read_at_the_nearest_target_that_suits_the_crops() {
    let mut garden = garden(Units::UsCustomary);
    let mut sheet = mehlich();
    sheet.ph = Some(Ph::parse("5.6").unwrap());
    sheet.acidity = Some(AcidityReading::SikoraOregon(Ph::parse("6.2").unwrap()));
    add(&mut garden, sheet);
    let need = |garden: &Garden| plan(garden).lime.unwrap().need.result.rate;
    // Oregon State EM 9585, Table 1: buffer 6.2 is 2.8 tons an acre for 6.4 and 3.7 for 6.8.
    assert_eq!(need(&garden), rate("2.8 tons/acre"));
    grows(&mut garden, &["garlic"], &[]);
    assert_eq!(need(&garden), rate("3.7 tons/acre"));
    // The product is asked for the value of that scheme, which its label does not have.
    let refusal = plan(&garden).lime.unwrap().due.unwrap_err();
    assert!(
        refusal.to_string().contains("lime score (Oregon)"),
        "{refusal}"
    );
    with_label(&mut garden, |lime| {
        lime.scheme = Some(Scheme::OregonLimeScore);
        lime.effective = Some(percent("100 %"));
    });
    assert_eq!(due(&plan(&garden)).rate, rate("3.7 tons/acre"));
}

#[test]
fn of_an_estimate_the_lower_end_is_planned() {
    let mut garden = garden(Units::UsCustomary);
    let mut sheet = mehlich();
    sheet.ph = Some(Ph::parse("5.5").unwrap());
    sheet.acidity = None;
    add(&mut garden, sheet);
    let plan = plan(&garden);
    let need = &plan.lime.as_ref().unwrap().need.result;
    let (low, high) = need.range.unwrap();
    assert!(low < need.rate && need.rate < high);
    assert_eq!(due(&plan).rate, low);
}

#[test]
fn soil_rich_in_phosphorus_gets_no_compost() {
    let mut garden = garden(Units::Metric);
    let mut sheet = mehlich();
    sheet.phosphorus = Nutrient {
        amount: Some(PartsPerMillion::parse("133 ppm").unwrap()),
        level: None,
    };
    add(&mut garden, sheet);
    let plan = plan(&garden);
    assert!(
        plan.compost
            .unwrap()
            .to_string()
            .starts_with("No compost this year\n")
    );
    assert!(!plan.missing.contains(&"phosphorus"));
}

#[test]
fn compost_spread_this_year_comes_off_what_is_allowed() {
    let mut garden = garden(Units::Metric);
    let profile = Arc::make_mut(garden.profile.as_mut().unwrap());
    profile.compost = Some(GardenCompost {
        origin: Origin::Plants,
        density: None,
        phosphate: None,
    });
    let layer = |text: &str| Depth::parse(text).unwrap();
    let left = |garden: &Garden| plan(garden).compost.unwrap().result.depth;
    assert_eq!(left(&garden), layer("1 in"));
    let half = Some(Amount::Depth(layer("1/2 in")));
    spread(&mut garden, "2026-03-01", AmendmentKind::Compost, half);
    assert_eq!(left(&garden), layer("1/2 in"));
}

#[test]
fn blossom_end_rot_never_makes_a_lime_line() {
    let mut garden = garden(Units::Metric);
    assert_eq!(plan(&garden).rot.unwrap().result.lime, Rate::ZERO);
    add(&mut garden, mehlich());
    assert_eq!(plan(&garden).rot.unwrap().result.lime, Rate::ZERO);
}

#[test]
fn the_same_sheet_typed_in_metric_and_in_customary_units_gives_the_same_answer() {
    let answer = |units, recommended: &str, spread_there: &str| {
        let mut garden = garden(units);
        let mut sheet = mehlich();
        sheet.recommendation = Some(Recommendation {
            rate: rate(recommended),
            basis: LimeBasis::CalciumCarbonateEquivalent,
            target: Ph::parse("6.5").unwrap(),
            depth: None,
        });
        add(&mut garden, sheet);
        let amount = Amount::Mass(Mass::parse(spread_there).unwrap());
        spread(&mut garden, "2026-03-01", AmendmentKind::Lime, Some(amount));
        let plan = plan(&garden);
        let due = due(&plan);
        let doses = due.doses.as_ref().unwrap().result.doses.clone();
        let ash = plan.ash.as_ref().unwrap().result.ash;
        (due.rate, due.mass.result, doses, ash)
    };
    let us = answer(Units::UsCustomary, "75 lb/1000 sq ft", "10 lb");
    let metric = answer(Units::Metric, "366.182073 g/m2", "4.536 kg");
    assert_eq!(us, metric);
    assert!(us.1.is_positive());
}

#[test]
fn the_beds_of_an_order_keep_their_own_amounts_beside_the_average() {
    let mut garden = garden(Units::Metric);
    add(&mut garden, mehlich());
    let mut other = mehlich();
    other.beds = Map::from([(bed(2), true)]);
    other.ph = Some(Ph::parse("6.0").unwrap());
    add(&mut garden, other);
    let plans: Vec<BedPlan> = [1, 2]
        .map(|number| {
            let asked = Asked {
                bed: bed(number),
                today: day("2026-03-20"),
                placement: Placement::DugIn,
            };
            of_bed(&garden, asked)
        })
        .to_vec();
    let order = lime_order(&garden, &plans).unwrap();
    let sum: Mass = order.beds.values().copied().sum();
    assert_eq!(order.need, sum);
    assert_eq!(
        order.rate,
        Rate::spread(sum, Area::from_mm2(72_000_000)).unwrap()
    );
    assert!(order.is_an_average(&garden));
    assert!(order.left_out.is_empty());
    let one = lime_order(&garden, &plans[..1]).unwrap();
    assert!(!one.is_an_average(&garden));
    assert_eq!(one.left_out, Map::from([(bed(2), true)]));
    assert_eq!(lime_order(&garden, &[]), None);
}

#[test]
fn blueberries_in_soil_that_is_too_sweet_get_sulfur_and_nobody_else_does() {
    let mut garden = garden(Units::UsCustomary);
    let mut sheet = mehlich();
    sheet.ph = Some(Ph::parse("6.0").unwrap());
    sheet.texture = None;
    add(&mut garden, sheet.clone());
    assert!(plan(&garden).sulfur.is_none(), "vegetables");
    grows(&mut garden, &["potato"], &[]);
    assert!(plan(&garden).sulfur.is_none(), "no table for potatoes");
    grows(&mut garden, &["blueberry"], &[]);
    let refusal = plan(&garden).sulfur.unwrap().unwrap_err();
    assert!(
        refusal
            .to_string()
            .starts_with("The texture of the soil is missing")
    );
    sheet.texture = Some(Texture::Loam);
    add(&mut garden, sheet.clone());
    // The table of Michigan State, printed by TerraLink: 1,540 lb/acre on loam from 6.0 to 4.5.
    let sulfur = plan(&garden).sulfur.unwrap().unwrap().result;
    let rate = sulfur
        .rate
        .shown_in(crate::quantities::RateUnit::PoundsPerAcre, 0);
    assert_eq!(rate.to_string(), "1,540 lb/acre");
    sheet.ph = Some(Ph::parse("5.2").unwrap());
    add(&mut garden, sheet);
    assert!(plan(&garden).sulfur.is_none(), "sour enough as it is");
}
