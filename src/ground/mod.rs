//! Length, size, money, place in a file, notice.
