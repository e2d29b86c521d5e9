//! Money in the browser: a payment that a member wrote down is confirmed by the coordinator, everybody settles up until every
//! account is even, and the helper's phone never shows an amount.

use super::phone::{Driver, Phone};
use super::service::Service;

/// The accounts that `/shares` lists, as their lines read.
const ACCOUNTS: &str = "return [...document.querySelectorAll('h2')]
    .filter(head => head.innerText.toLowerCase() === 'accounts')
    .flatMap(head => [...head.nextElementSibling.querySelectorAll('.line')])
    .map(line => line.innerText.replace(/\\s+/g, ' '))";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_payment_is_confirmed_and_settling_up_ends_with_every_account_even() {
    let service = Service::demo("money");
    let driver = Driver::start();
    let coordinator = driver.phone("money-coordinator").await;
    coordinator.join(service.link(0)).await;
    let member = driver.phone("money-member").await;
    member.join(service.link(1)).await;

    member.open(&service.address("/account")).await;
    member.sees("not confirmed").await;
    member.press("Paid, not confirmed yet").await;
    member.sees("nobody yet").await;
    member.picture("line").await;

    coordinator.open(&service.address("/week")).await;
    coordinator.sees("What waits for you").await;
    coordinator.picture("what-waits").await;
    coordinator.open(&service.address("/settle")).await;
    coordinator.press("Confirm: Farid pays the garden").await;
    coordinator.sees("In step with the garden").await;
    member.sees("Confirmed by").await;
    member.open(&service.address("/account")).await;
    member.sees("All is paid").await;
    member.picture("statement").await;

    settle_everything(&coordinator, &service).await;
    every_account_is_even(&coordinator, &service).await;
    coordinator.picture("all-even").await;
    coordinator.put_away().await;
    member.put_away().await;
}

/// Nobody owes anybody anything.
pub(super) async fn every_account_is_even(coordinator: &Phone, service: &Service) {
    coordinator.open(&service.address("/shares")).await;
    coordinator.sees("In step with the garden").await;
    let accounts = coordinator.run(ACCOUNTS).await;
    let accounts = accounts.as_array().unwrap();
    assert!(accounts.len() > 5, "{accounts:?}");
    for account in accounts {
        let words = account.as_str().unwrap();
        let is_sum = words.contains("All accounts together");
        assert!(is_sum || words.contains("All is paid"), "{words}");
        assert!(words.contains("$0.00"), "{words}");
    }
}

/// Writes down the first payment of the plan until nothing is to be paid.
pub(super) async fn settle_everything(phone: &Phone, service: &Service) {
    phone.open(&service.address("/settle")).await;
    phone.sees("Who pays whom").await;
    for _ in 0..40 {
        if phone.text().await.contains("Nothing is to be paid") {
            return;
        }
        let pressed = phone
            .run(
                "const button = [...document.querySelectorAll('.line button')]
                    .find(button => /^(I paid it|I had it|It is paid):/.test(button.getAttribute('aria-label') ?? ''));
                button?.click();
                return button != null",
            )
            .await;
        assert_eq!(pressed, true, "{}", phone.text().await);
        phone.sees("In step with the garden").await;
    }
    panic!("it does not come to an end: {}", phone.text().await);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_helpers_phone_shows_no_amount_of_money() {
    let service = Service::demo("no-money");
    let driver = Driver::start();
    let helper = driver.phone("money-helper").await;
    helper.join(service.link(2)).await;
    for screen in [
        "week",
        "shares",
        "account",
        "account/garden",
        "settle",
        "work",
        "garden",
    ] {
        helper.open(&service.address(&format!("/{screen}"))).await;
        helper.sees("In step with the garden").await;
        let text = helper.text().await;
        assert!(!text.contains('$'), "/{screen} shows money:\n{text}");
    }
    helper.press("Garden").await;
    helper.sees("Hours due").await;
    let text = helper.text().await;
    assert!(
        !text.contains('$'),
        "the garden's rules show money:\n{text}"
    );
    helper.open(&service.address("/shares")).await;
    helper.press("Fence around the former meadow").await;
    helper.sees("Hours done").await;
    let text = helper.text().await;
    assert!(!text.contains('$'), "the job shows money:\n{text}");
    helper.picture("job").await;
    helper.put_away().await;
}
