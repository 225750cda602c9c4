//! The run itself, with a listener that keeps everything: order, pieces, stops, short queues.
