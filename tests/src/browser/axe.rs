//! What hinders people with a screen reader, a keyboard or weak eyes, as axe-core finds it on a page.

use super::phone::Phone;

/// Faults that stop somebody, or make a screen very hard to use; lesser ones are hints.
const GRAVE: [&str; 2] = ["serious", "critical"];

/// Runs axe-core on the page as it is, and stops at a grave fault.
pub(super) async fn check(page: &Phone, what: &str) {
    let faults = page.run_later(&script(), RUN).await;
    assert!(
        faults["looked_at"].as_u64().is_some_and(|rules| rules > 10),
        "axe looked at nothing on {what}: {faults}"
    );
    let grave: Vec<String> = faults["found"]
        .as_array()
        .into_iter()
        .flatten()
        .filter(|fault| GRAVE.iter().any(|impact| fault["impact"] == *impact))
        .map(|fault| format!("{}: {}\n  {}", fault["id"], fault["help"], fault["nodes"]))
        .collect();
    assert!(grave.is_empty(), "{what}:\n{}", grave.join("\n"));
}

fn script() -> String {
    let path = std::env::var("SELION_AXE").expect("SELION_AXE names the script of axe-core");
    std::fs::read_to_string(path).expect("the script of axe-core can be read")
}

/// Colours are judged as they are drawn, so what still comes in is waited for.
const RUN: &str = "
    await Promise.all(document.getAnimations().map(animation => animation.finished.catch(() => {})));
    const answer = await axe.run(document, { resultTypes: ['violations'] });
    return {
        looked_at: answer.passes.length + answer.violations.length,
        found: answer.violations.map(fault => ({
            id: fault.id, impact: fault.impact, help: fault.help,
            nodes: fault.nodes.slice(0, 4).map(node => `${node.html.slice(0, 160)} ${node.failureSummary}`),
        })),
    }";
