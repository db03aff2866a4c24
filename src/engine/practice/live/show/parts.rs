//! What the views of a live sheet are put together from.

use crate::practice::live::kit::Live;
use crate::practice::live::state::{Phase, State};
use crate::practice::view::Node;
use crate::quantity::minutes_seconds;

pub(super) fn heading(text: String) -> Node {
    Node::text("h2", text).with("id", "head").with("tabindex", "-1")
}

/// Where the focus goes: to what was pressed, or to the heading of a new view.
pub(super) fn focus_or_head(pressed: Option<String>) -> Option<String> {
    pressed.or_else(|| Some("head".to_owned()))
}

/// Whether a field after the start is chosen with buttons, one of which stays down.
pub(super) fn in_buttons(field: &str) -> bool {
    ["stop.cause", "void.cause", "void.produced-acts"].contains(&field)
        || (field.contains("/settled.") && field.ends_with(".stands"))
        || ["/taken.", "/of-role.", "/manual."].iter().any(|part| field.contains(part))
}

/// What the watch shows, where there is one; else the time since the start.
pub(super) fn clock(live: &Live, state: &State) -> Option<String> {
    let told =
        |milliseconds: i64| minutes_seconds(i128::from(milliseconds).div_euclid(1000));
    let watch = &state.part()?.watch;
    if state.kit(live)?.drill().time.is_none() {
        // How long it has gone on; nothing is scored by it.
        let open = matches!(state.phase, Phase::Run);
        return open.then(|| told(state.span.now.saturating_sub(state.began_at)));
    }
    let taken = watch.taken(state.span.now)?;
    let held = watch.held(state.span.now);
    if held == 0 {
        return Some(told(taken));
    }
    let (taken, held) = (told(taken), told(held));
    Some(live.words().say("live.clock-held", &[("taken", &taken), ("held", &held)]))
}

/// A button that stays down.
pub(super) fn pressed(text: String, act: serde_json::Value, down: bool) -> Node {
    Node::button(text, act).with("aria-pressed", if down { "true" } else { "false" })
}
