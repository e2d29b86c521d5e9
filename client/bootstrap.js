// Starts the program, or says in one plain sentence why it cannot start here.
// The names in capitals are filled in by `cargo xtask web` with the names of one build, hashed by content.

const APP_JS = "/__APP_JS__";
const APP_WASM = "/__APP_WASM__";

// Before the first paint of the program: the theme that was chosen on this device. Without a choice the style sheet
// follows the system.
try {
  const theme = localStorage.getItem("selion.theme");
  if (theme) document.documentElement.dataset.theme = theme;
} catch {
  // No storage, no choice: the style sheet follows the system.
}

function say(sentence) {
  const place = document.getElementById("opening-sentence");
  if (place) place.textContent = sentence;
}

// What must be there before anything is loaded: the name of what is missing, or null.
function missing() {
  if (typeof WebAssembly !== "object") {
    return "This browser has no WebAssembly, which Selion needs. Open the page in a newer browser.";
  }
  let storage = null;
  try {
    storage = window.indexedDB;
  } catch {
    // Some browsers throw instead of answering when storage is forbidden.
  }
  if (!storage) {
    return "This browser keeps no data for this page (IndexedDB is missing), so what you write could be lost. " +
      "Leave private browsing, or allow site data for this page.";
  }
  return null;
}

async function start() {
  const reason = missing();
  if (reason) {
    say(reason);
    return;
  }
  try {
    const app = await import(APP_JS);
    await app.default({ module_or_path: APP_WASM });
    document.getElementById("opening")?.remove();
  } catch (error) {
    console.error(error);
    say(navigator.onLine
      ? "Selion could not be loaded. Load the page again; if that does not help, tell the person who looks after the server."
      : "Selion is not on this phone yet and there is no signal. Open it once with signal; after that it works without.");
  }
}

start();
