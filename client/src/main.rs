//! The program for the browser: starts the screens. Elsewhere it does nothing.

fn main() {
    #[cfg(target_arch = "wasm32")]
    selion_client::start();
}
