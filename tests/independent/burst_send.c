// Sends bursts of E1.31 data packets, all universes back to back: burst_send PORT UNIVERSES HZ SECONDS [ADDRESS]
// Every frame changes every level. Prints the packets sent and the seconds it took: more than SECONDS when the machine can't keep the pace.
// To this machine alone, by design: 127.0.0.1, or ADDRESS, which must be one of its own.
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>

enum { LEN = 638, BATCH = 64 };

int main(int argc, char **argv) {
  if (argc != 5 && argc != 6) return 2;
  int port = atoi(argv[1]), universes = atoi(argv[2]);
  double hz = atof(argv[3]), seconds = atof(argv[4]);
  int fd = socket(AF_INET, SOCK_DGRAM, 0);
  int size = 8 << 20;
  setsockopt(fd, SOL_SOCKET, SO_SNDBUF, &size, sizeof size);
  struct sockaddr_in to = { .sin_family = AF_INET, .sin_port = htons(port), .sin_addr.s_addr = htonl(INADDR_LOOPBACK) };
  if (argc == 6 && inet_pton(AF_INET, argv[5], &to.sin_addr) != 1) return 2;
  struct sockaddr_in own = to;
  own.sin_port = 0;
  if (bind(fd, (struct sockaddr *)&own, sizeof own)) { fputs("burst_send: not an address of this machine\n", stderr); return 3; }
  if (connect(fd, (struct sockaddr *)&to, sizeof to)) return 3;

  unsigned char *all = calloc(universes, LEN);
  struct mmsghdr *msgs = calloc(universes, sizeof *msgs);
  struct iovec *iov = calloc(universes, sizeof *iov);
  for (int u = 0; u < universes; u++) {
    unsigned char *p = all + (size_t)u * LEN;
    p[1] = 0x10;
    memcpy(p + 4, "ASC-E1.17\0\0\0", 12);
    int ends[] = { 16, 38, 115 };
    for (int i = 0; i < 3; i++) { int n = LEN - ends[i]; p[ends[i]] = 0x70 | n >> 8; p[ends[i] + 1] = n; }
    p[21] = 4;
    memset(p + 22, 0x42, 16);
    p[43] = 2;
    strcpy((char *)p + 44, "burst");
    p[108] = 100;
    p[113] = (u + 1) >> 8;
    p[114] = u + 1;
    p[117] = 2; p[118] = 0xA1; p[122] = 1; p[123] = 2; p[124] = 1;
    iov[u] = (struct iovec){ p, LEN };
    msgs[u].msg_hdr.msg_iov = iov + u;
    msgs[u].msg_hdr.msg_iovlen = 1;
  }

  struct timespec next, start, end;
  clock_gettime(CLOCK_MONOTONIC, &next);
  start = next;
  long frames = (long)(seconds * hz), sent = 0, period = (long)(1e9 / hz);
  for (long f = 0; f < frames; f++) {
    for (int u = 0; u < universes; u++) {
      unsigned char *p = all + (size_t)u * LEN;
      p[111] = f;
      memset(p + 126, (int)f, 512);
    }
    for (int u = 0; u < universes;) {
      int n = sendmmsg(fd, msgs + u, universes - u < BATCH ? universes - u : BATCH, 0);
      if (n < 1) return 4;
      u += n;
      sent += n;
    }
    next.tv_nsec += period;
    if (next.tv_nsec >= 1000000000L) { next.tv_nsec -= 1000000000L; next.tv_sec++; }
    clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &next, NULL);
  }
  clock_gettime(CLOCK_MONOTONIC, &end);
  printf("%ld %.3f\n", sent, (end.tv_sec - start.tv_sec) + (end.tv_nsec - start.tv_nsec) / 1e9);
  return 0;
}
