//! A load of two materials on three phones: two members ask, the coordinator closes it, one bale is missing when it comes, a
//! member ticks theirs off with no signal, the shares sum to the bill, and in the end every account is even.

use super::money::{every_account_is_even, settle_everything};
use super::phone::{Driver, Phone};
use super::service::Service;

/// What everybody pays and the whole, in cents, as the table of shares shows it.
const PAYS: &str = "const table = [...document.querySelectorAll('table.figures')]
        .find(table => table.caption.innerText.toLowerCase() === 'shared out');
    const cents = row => Math.round(100 * parseFloat(row.lastElementChild.innerText.replace(/[^0-9.]/g, '')));
    return [[...table.tBodies[0].rows].map(cents), [...table.tFoot.rows].map(cents)]";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_order_goes_from_the_wish_over_a_short_delivery_to_even_accounts() {
    let mut service = Service::demo("order");
    let driver = Driver::start();
    let coordinator = driver.phone("order-coordinator").await;
    coordinator.join(service.link(0)).await;
    let farid = driver.phone("order-farid").await;
    farid.join(service.link(1)).await;
    let adaeze = driver.phone("order-adaeze").await;
    adaeze.join(&service.invite("Adaeze")).await;

    let order = open_the_load(&coordinator, &service).await;
    let address = service.address(&order);
    for (phone, pounds) in [(&farid, "10 lb"), (&adaeze, "6 lb")] {
        phone.open(&address).await;
        ask(phone, "Straw bales", "3", "Asked for 3 pieces").await;
        ask(
            phone,
            "Seed potatoes",
            pounds,
            &format!("Asked for {}", pounds.replace(" lb", ".0 lb")),
        )
        .await;
        phone.sees("In step with the garden").await;
        phone.picture("asked").await;
    }
    coordinator.open(&address).await;
    coordinator.sees("6 pieces").await;
    coordinator.picture("before-closing").await;
    coordinator.press("Close and share out").await;
    coordinator.press("Share it out").await;
    coordinator.sees("On the day").await;
    // Six bales at 6.50, four bags of five pounds at 4.00, 5.01 for bringing them.
    sums_to(&coordinator, 6 * 650 + 4 * 400 + 501).await;

    coordinator.press("Enter what came").await;
    coordinator.put("Came of 1 piece", "5").await;
    coordinator.sees("What it changes").await;
    coordinator.picture("invoice").await;
    coordinator.press("Enter it").await;
    coordinator.sees("Shared anew").await;
    sums_to(&coordinator, 5 * 650 + 4 * 400 + 501).await;
    coordinator.sees("In step with the garden").await;

    farid.open(&address).await;
    farid.sees("What the bill changed").await;
    farid.sees("In step with the garden").await;
    sums_to(&farid, 5 * 650 + 4 * 400 + 501).await;
    service.kill();
    farid.press("Tick off: Farid, Straw bales").await;
    farid.sees("1 waiting").await;
    farid.sees("1 of 5 taken home").await;
    farid.picture("ticked-with-no-signal").await;
    service.start();
    farid.sees("In step with the garden").await;
    coordinator.sees("1 of 5 taken home").await;
    adaeze.open(&address).await;
    adaeze.sees("1 of 5 taken home").await;
    coordinator.picture("on-the-day").await;

    coordinator.open(&service.address("/settle")).await;
    coordinator.press("Confirm: Farid pays the garden").await;
    settle_everything(&coordinator, &service).await;
    every_account_is_even(&coordinator, &service).await;
    for phone in [coordinator, farid, adaeze] {
        phone.put_away().await;
    }
}

/// Straw by the bale and seed by the bag, both as people ask for them; the way to the order.
async fn open_the_load(phone: &Phone, service: &Service) -> String {
    phone.open(&service.address("/order/new")).await;
    phone.sees("What is bought").await;
    phone.put("Kind", "Hay or straw").await;
    phone.put("Price of one", "6.50").await;
    phone.put("Delivery fee", "5.01").await;
    phone.press("Add another material").await;
    phone.sees("2. Compost").await;
    phone.put("Kind", "Seed").await;
    phone.sees("2. Seed potatoes").await;
    phone.put("In one", "5 lb").await;
    phone.put("Price of one", "4.00").await;
    phone.picture("new-load").await;
    phone.press("Open the load").await;
    phone.sees("What you want").await;
    let way = phone.run("return location.pathname").await;
    way.as_str().unwrap().to_owned()
}

async fn ask(phone: &Phone, material: &str, amount: &str, said: &str) {
    phone.sees("What you want").await;
    phone.put(material, amount).await;
    phone
        .run(&format!(
            "const label = [...document.querySelectorAll('label')].filter(label => label.innerText.trim() === '{material}').at(-1);
            label.closest('form').querySelector('button[type=submit]').click()"
        ))
        .await;
    phone.sees(said).await;
}

/// The parts of all sum to the whole, and the whole is this bill.
async fn sums_to(phone: &Phone, bill: i64) {
    let pays = phone.run(PAYS).await;
    let cents = |of: usize| -> Vec<i64> {
        let cells = pays[of].as_array().unwrap().iter();
        cells.map(|cell| cell.as_i64().unwrap()).collect()
    };
    assert_eq!(cents(1), [bill], "the whole");
    assert_eq!(cents(0).iter().sum::<i64>(), bill, "the parts together");
}
