// Where a thread's pixel lies in a square of some pixels a side: 32 threads that run together take 8 x 4.
ivec2 placeIn(int thread, int side) {
  if (side < 8) return ivec2(thread % side, thread / side);
  int block = thread / 32, lane = thread % 32, across = side / 8;
  return ivec2(8 * (block % across) + lane % 8, 4 * (block / across) + lane / 8);
}
