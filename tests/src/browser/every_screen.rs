//! Every screen on a phone and on a desk, in the three themes, for all three people: it opens from its address, says what
//! it is, fits the width, and hinders nobody (axe-core). The pictures are kept to be looked at.

use super::axe;
use super::phone::{Driver, Phone};
use super::service::Service;

const SCREENS: [&str; 19] = [
    "week",
    "ground",
    "ground/draw",
    "season",
    "season/then",
    "season/turn",
    "soil",
    "weather",
    "work",
    "week/sheet",
    "proposals",
    "picking",
    "harvest",
    "shares",
    "account",
    "settle",
    "order/new",
    "job/new",
    "garden",
];
/// Screens of one thing, by a screen that leads to one and how its address begins.
const LED_TO: [(&str, &str); 7] = [
    ("ground", "/bed/"),
    ("ground", "/fence/"),
    ("season", "/planting/"),
    ("soil", "/soil/"),
    ("work", "/task/"),
    ("shares", "/order/"),
    ("shares", "/job/"),
];
const THEMES: [&str; 3] = ["paper", "sun", "dusk"];

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_screen_opens_for_everybody_fits_the_page_and_hinders_nobody() {
    let service = Service::demo("every-screen");
    let driver = Driver::start();
    for (who, person) in ["coordinator", "member", "helper"].into_iter().enumerate() {
        let page = driver.phone(&format!("screens-{person}")).await;
        page.join(service.link(who)).await;
        let mut screens: Vec<String> = SCREENS.map(str::to_owned).to_vec();
        for (from, begins) in LED_TO {
            let found = led_to(&page, &service, from, begins).await;
            // Helpers see no orders.
            assert!(
                found.is_some() || person == "helper",
                "{from} leads a {person} to no {begins}"
            );
            screens.extend(found);
        }
        for screen in &screens {
            look(&page, &service, screen, (390, 844), person == "coordinator").await;
        }
        page.resize(1280, 800).await;
        for screen in &screens {
            look(&page, &service, screen, (1280, 800), false).await;
        }
        page.put_away().await;
    }
}

/// The first address on a screen that begins so, without the slash before it.
async fn led_to(page: &Phone, service: &Service, from: &str, begins: &str) -> Option<String> {
    page.open(&service.address(&format!("/{from}"))).await;
    page.sees("In step with the garden").await;
    let script = format!(
        "return [...document.querySelectorAll('a[href^=\"{begins}\"]')]
            .map(link => link.getAttribute('href')).find(href => !href.endsWith('/new')) ?? null"
    );
    let found = page.run(&script).await;
    Some(found.as_str()?.trim_start_matches('/').to_owned())
}

async fn look(
    page: &Phone,
    service: &Service,
    screen: &str,
    size: (u32, u32),
    in_all_themes: bool,
) {
    page.resize(size.0, size.1).await;
    page.open(&service.address(&format!("/{screen}"))).await;
    page.sees("In step with the garden").await;
    let title = page
        .run("return document.querySelector('h1')?.innerText ?? ''")
        .await;
    assert!(
        title.as_str().is_some_and(|title| !title.trim().is_empty()),
        "{screen} has no heading"
    );
    let too_wide = page
        .run("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
        .await;
    assert!(
        too_wide.as_i64().is_some_and(|pixels| pixels <= 0),
        "{screen} is {too_wide} pixels too wide at {}",
        size.0
    );
    check_names(page, screen).await;
    axe::check(page, &format!("{screen} at {}", size.0)).await;
    let name = screen.split('/').take(2).collect::<Vec<_>>().join("-");
    let themes = if in_all_themes {
        &THEMES[..]
    } else {
        &THEMES[..1]
    };
    for theme in themes {
        page.run(&format!(
            "document.documentElement.setAttribute('data-theme', '{theme}')"
        ))
        .await;
        page.picture(&format!("{name}-{}-{theme}", size.0)).await;
        if *theme != THEMES[0] {
            axe::check(page, &format!("{screen} in {theme}")).await;
        }
    }
    page.run("document.documentElement.removeAttribute('data-theme')")
        .await;
}

/// What can be pressed or filled in has a name for a screen reader, and fingers find it.
async fn check_names(page: &Phone, screen: &str) {
    let nameless = page
        .run(
            "return [...document.querySelectorAll('button, a, input, select, textarea')]
                .filter(e => e.checkVisibility())
                .filter(e => !(e.innerText?.trim() || e.getAttribute('aria-label') || e.labels?.length || e.title))
                .map(e => e.outerHTML.slice(0, 120))",
        )
        .await;
    assert_eq!(
        nameless,
        serde_json::json!([]),
        "{screen} has something without a name"
    );
    // The button of a line stretches over the whole line, so there the line is what fingers find.
    let small = page
        .run(
            "const target = e => getComputedStyle(e, '::after').position === 'absolute' ? e.closest('.line') : e;
            return [...document.querySelectorAll('button, select, input:not([type=checkbox]):not([type=radio])')]
                .filter(e => e.checkVisibility())
                .filter(e => target(e).getBoundingClientRect().height < 44)
                .map(e => e.outerHTML.slice(0, 120))",
        )
        .await;
    assert_eq!(
        small,
        serde_json::json!([]),
        "{screen} has targets under 44 pixels"
    );
}
