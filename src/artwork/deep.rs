//! Drawings are worked out on a stack of their own, and what crashes there is an error.

use super::budget::STACK_BYTES;
use super::error::ArtworkError;

/// Deeply nested drawings need more stack than a thread has by default; a failure in there
/// is an error like any other.
pub(super) fn on_a_deep_stack<T: Send>(
    name: &str,
    work: impl FnOnce() -> Result<T, ArtworkError> + Send,
) -> Result<T, ArtworkError> {
    if cfg!(target_family = "wasm") {
        return work(); // no threads there: a crash ends the worker that called
    }
    let failed = |what: String| ArtworkError::Failed { name: name.into(), what };
    std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().name("artwork".into()).stack_size(STACK_BYTES);
        let worker = thread.spawn_scoped(scope, work).map_err(|e| failed(e.to_string()))?;
        worker.join().unwrap_or_else(|panic| {
            let words = panic.downcast_ref::<&str>().copied().or_else(|| panic.downcast_ref::<String>().map(|s| &**s));
            Err(failed(format!("its reader stopped: {}", words.unwrap_or("without a word"))))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crash_of_the_reader_is_an_error() {
        let result: Result<(), _> = on_a_deep_stack("limpet", || panic!("as if the reader had crashed"));
        let error = result.expect_err("an error");
        assert_eq!(
            error.to_string(),
            "limpet: the drawing cannot be worked out: its reader stopped: as if the reader had crashed"
        );
        assert_eq!(error.hint(), "save the drawing again as plain SVG, or simplify it");
    }
}
