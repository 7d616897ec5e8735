// The least a receiver can do: counts datagrams with recvmmsg, reads nothing in them. recv_loop PORT BUFFER_BYTES
// Prints "ready", and after half a second of silence: packets, CPU seconds, datagrams the kernel dropped.
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/time.h>

enum { BATCH = 64, LEN = 1536 };

int main(int argc, char **argv) {
  if (argc != 3) return 2;
  int fd = socket(AF_INET, SOCK_DGRAM, 0), size = atoi(argv[2]);
  setsockopt(fd, SOL_SOCKET, SO_RCVBUF, &size, sizeof size);
  setsockopt(fd, SOL_SOCKET, SO_RCVBUFFORCE, &size, sizeof size);
  struct sockaddr_in at = { .sin_family = AF_INET, .sin_port = htons(atoi(argv[1])), .sin_addr.s_addr = htonl(INADDR_LOOPBACK) };
  if (bind(fd, (struct sockaddr *)&at, sizeof at)) return 3;
  static unsigned char buffers[BATCH][LEN];
  struct mmsghdr msgs[BATCH];
  struct iovec iov[BATCH];
  memset(msgs, 0, sizeof msgs);
  for (int i = 0; i < BATCH; i++) {
    iov[i] = (struct iovec){ buffers[i], LEN };
    msgs[i].msg_hdr.msg_iov = iov + i;
    msgs[i].msg_hdr.msg_iovlen = 1;
  }
  puts("ready");
  fflush(stdout);
  long packets = 0;
  int n;
  struct timeval quiet = { 10, 0 };
  setsockopt(fd, SOL_SOCKET, SO_RCVTIMEO, &quiet, sizeof quiet);
  if ((n = recvmmsg(fd, msgs, BATCH, MSG_WAITFORONE, NULL)) > 0) {
    packets = n;
    quiet = (struct timeval){ 0, 500000 };
    setsockopt(fd, SOL_SOCKET, SO_RCVTIMEO, &quiet, sizeof quiet);
    while ((n = recvmmsg(fd, msgs, BATCH, MSG_WAITFORONE, NULL)) > 0) packets += n;
  }
  unsigned int info[9];
  socklen_t length = sizeof info;
  getsockopt(fd, SOL_SOCKET, 55, info, &length);
  struct rusage use;
  getrusage(RUSAGE_SELF, &use);
  printf("%ld %.6f %u\n", packets, use.ru_utime.tv_sec + use.ru_stime.tv_sec + (use.ru_utime.tv_usec + use.ru_stime.tv_usec) / 1e6, info[8]);
  return 0;
}
