//! A season in small: a bed is drawn by finger and another by key, three sowings are planned and become tasks with no signal, a
//! picking turn is taken, what was picked is written down and given away, and the year adds it up.

use thirtyfour::Key;

use super::phone::{Driver, Phone};
use super::service::Service;

/// Corners of a bed to draw, as parts of the plan's width and height.
const CORNERS: [(f64, f64); 4] = [(0.62, 0.04), (0.92, 0.04), (0.92, 0.14), (0.62, 0.14)];
/// Where the plan to draw on is.
const PLAN: &str = "const plan = document.querySelector('svg.plan, .plan svg');
    plan.scrollIntoView({ block: 'start', behavior: 'instant' });
    const { x, y, width, height } = plan.getBoundingClientRect();
    return [x, y, width, height]";
/// Tomorrow; after the turn of the year where three days of sowing would not fit before it.
const SOWN_ON: &str = "const day = new Date();
    day.setDate(day.getDate() + 1);
    if (day.getMonth() === 11 && day.getDate() > 20) day.setFullYear(day.getFullYear() + 1, 0, 1);
    const two = number => String(number).padStart(2, '0');
    return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_bed_is_drawn_sown_in_three_steps_picked_and_its_harvest_given_away() {
    let mut service = Service::demo("season");
    let driver = Driver::start();
    let coordinator = driver.phone("season-coordinator").await;
    coordinator.join(service.link(0)).await;
    draw_by_finger(&coordinator, &service, "T1").await;
    plan_three_sowings(&coordinator, &service, "T1").await;

    coordinator.open(&service.address("/proposals")).await;
    coordinator.sees("Sow radish").await;
    service.kill();
    for _sowing in 0..3 {
        coordinator.press("Accept: Sow radish (T1)").await;
        coordinator.sees("A task now: Sow radish").await;
        coordinator.press("Close this word").await;
    }
    coordinator.picture("accepted-with-no-signal").await;
    coordinator.sees("3 waiting").await;
    service.start();
    coordinator.sees("In step with the garden").await;

    let member = driver.phone("season-member").await;
    member.join(service.link(1)).await;
    member.open(&service.address("/work")).await;
    member.sees("Sow radish").await;
    member.open(&service.address("/picking")).await;
    member.press("Take").await;
    member.sees("Undo").await;
    member.picture("turn-taken").await;
    pick_and_give_away(&member, &service).await;
    member.put_away().await;

    coordinator.resize(1280, 800).await;
    draw_by_key(&coordinator, &service, "T2").await;
    plan_three_sowings(&coordinator, &service, "T2").await;
    coordinator.open(&service.address("/proposals")).await;
    coordinator.press("Accept: Sow radish (T2)").await;
    coordinator.sees("A task now: Sow radish").await;
    coordinator.open(&service.address("/harvest")).await;
    coordinator.sees("7.25 lb").await;
    coordinator.picture("harvest").await;
    coordinator.open(&service.address("/season")).await;
    coordinator.sees("T2").await;
    coordinator.picture("year").await;
    coordinator.put_away().await;
}

async fn begin_drawing(phone: &Phone, service: &Service, label: &str) -> [f64; 4] {
    phone.open(&service.address("/ground/draw")).await;
    phone.sees("Put down").await;
    phone.put("Called", label).await;
    phone.press("Draw it").await;
    phone.sees("Tap corner after corner").await;
    let place = phone.run(PLAN).await;
    let number = |at: usize| place[at].as_f64().expect("the plan is on the page");
    [number(0), number(1), number(2), number(3)]
}

async fn draw_by_finger(phone: &Phone, service: &Service, label: &str) {
    let [x, y, width, height] = begin_drawing(phone, service, label).await;
    for (right, down) in CORNERS {
        phone.touch(x + right * width, y + down * height).await;
    }
    phone.picture("drawn-by-finger").await;
    phone.press("Keep it").await;
    phone.sees("The bed is drawn").await;
    phone.sees("In step with the garden").await;
}

async fn draw_by_key(phone: &Phone, service: &Service, label: &str) {
    begin_drawing(phone, service, label).await;
    for way in [Key::Right, Key::Up, Key::Left] {
        phone.keys(&[Key::Enter]).await;
        phone.keys(&vec![way; 12]).await;
    }
    phone.keys(&[Key::Enter]).await;
    phone.picture("drawn-by-key").await;
    phone.press("Keep it").await;
    phone.sees("The bed is drawn").await;
}

async fn plan_three_sowings(phone: &Phone, service: &Service, bed: &str) {
    phone.open(&service.address("/ground")).await;
    phone.press(bed).await;
    phone.press("Plan a planting").await;
    phone.sees("What is planted").await;
    let day = phone.run(SOWN_ON).await;
    phone.put("Crop", "radish").await;
    phone.put("Sown on", day.as_str().unwrap()).await;
    phone.put("Sowings, one after the other", "3").await;
    phone.put("Every", "1").await;
    phone.picture("three-sowings").await;
    phone.press("Plan 3 sowings").await;
    phone.sees("3 sowings are planned").await;
    phone.sees("In step with the garden").await;
    phone.picture("planned").await;
}

async fn pick_and_give_away(phone: &Phone, service: &Service) {
    phone.open(&service.address("/picking")).await;
    phone.press("Write down what was picked").await;
    phone.sees("Counted in").await;
    phone.put("Crop", "tomatillo").await;
    phone.put("Picked", "7.25").await;
    phone.press("In several parts").await;
    phone.put("Given to Sorrel Lane pantry", "3").await;
    phone.sees("Left: 4.25").await;
    phone.picture("given-away").await;
    phone.press("Write it down").await;
    phone.sees("In step with the garden").await;
    phone.open(&service.address("/harvest")).await;
    phone.sees("7.25 lb").await;
    phone.sees("Sorrel Lane pantry").await;
    phone.picture("harvest").await;
}
