#![no_main]
libfuzzer_sys::fuzz_target!(|data: &[u8]| seamfast_fuzz::length(data));
