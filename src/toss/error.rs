//! Why wishes can't be met at all.

use super::Vector;

/// What contradicts itself, before anything is laid.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TossError {
    /// The lattice's steps lie on one line.
    #[error("the block has no area")]
    NoBlock,
    /// Nothing to strew.
    #[error("there is no motif to strew")]
    NoKind,
    /// All are fillers.
    #[error("every motif is a filler, and fillers go only where others leave room")]
    OnlyFillers,
    /// A silhouette without area.
    #[error("a motif has no ink")]
    NoInk {
        /// Which kind.
        kind: usize,
    },
    /// The least size is zero, or more than the greatest.
    #[error("the sizes run from {} to {}", sizes[0], sizes[1])]
    Sizes {
        /// Which kind.
        kind: usize,
        /// As asked.
        sizes: [f64; 2],
    },
    /// A share below zero, or none above it.
    #[error("the shares sum to nothing")]
    Shares,
    /// The gap is below zero, or leaves no place for a second motif.
    #[error("the gap is {gap}, and the block's shortest step {step}")]
    Gap {
        /// As asked.
        gap: f64,
        /// From a point to its nearest copy.
        step: f64,
    },
    /// Even at its least size a motif comes too near to its own copies, wherever it lies.
    #[error("a motif comes nearer to its own copies than the gap")]
    TooLarge {
        /// Which kind.
        kind: usize,
        /// How near.
        near: f64,
    },
    /// Two that lie fixed are nearer than the gap, or one and its own copy.
    #[error("two fixed motifs are {near} apart")]
    FixedTooNear {
        /// Which ones, in their order; twice the same for a motif and its own copy.
        fixed: [usize; 2],
        /// How near.
        near: f64,
        /// About where.
        at: Vector,
    },
    /// Own kinds are to be farther apart than a motif is from its own copy.
    #[error("own kinds are to be {apart} apart, and the block's shortest step is {step}")]
    Apart {
        /// As asked.
        apart: f64,
        /// From a point to its nearest copy.
        step: f64,
    },
    /// Kept from its own kind, and there is no other.
    #[error("all motifs are of one kind, which is to be kept from its own kind")]
    Alone,
}
