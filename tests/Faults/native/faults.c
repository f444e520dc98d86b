/* Preloaded into a node, this stands between SQLite and the disk and does what a disk may do.
 *
 * FAULTS_FILE      the database file; it and its log (-wal) are watched, its index of the log (-shm) only for a full disk
 * FAULTS_KEPT      folder with copies that hold nothing but what a flush has made durable: the disk after a power cut
 * FAULTS_SWITCHES  file of 64-bit numbers, shared with the test: what was counted, what is to go wrong
 * FAULTS_REPLIES   log of replies: a line "7 kept" or "7 early" for each receipt-00000007 that leaves through a socket
 *
 * Taken to be so: making and removing a file is durable at once; a byte that was flushed stays. A flush does not reach the real
 * disk: a killed process leaves the kernel's pages alone, so the copies tell all, and tests do not wait for the disk. What of the
 * unflushed bytes reaches the disk after all, in torn sectors and in any order, is for the test to draw from the two files. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

enum { DATABASE, LOG, KEPT_FILES, INDEX = KEPT_FILES, NONE };
enum { SYNCS, WRITES, FAIL_SYNC_AT, FULL_FROM, FULL_COUNT, LOG_NEVER_FLUSHED, SWITCHES };
enum { FD_MOST = 65536, RECEIPTS_MOST = 1 << 20, REPLY_MOST = 1 << 16 };
enum { UNSEEN, WRITTEN, DURABLE };

struct range { off_t at; size_t length; };
struct unflushed { struct range *ranges; int count, room; };

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static const char *file, *kept;
static volatile int64_t *switches;
static int replies = -1;
static unsigned char kinds[FD_MOST], receipts[RECEIPTS_MOST];
static struct unflushed unflushed[KEPT_FILES];
static int written[RECEIPTS_MOST], written_count;
static const char prefix[] = "receipt-";

__attribute__((constructor)) static void begin(void) {
    static int64_t none[SWITCHES];
    memset(kinds, NONE, sizeof kinds);
    switches = none;
    const char *shared = getenv("FAULTS_SWITCHES"), *log = getenv("FAULTS_REPLIES");
    if (shared) {
        int fd = syscall(SYS_openat, AT_FDCWD, shared, O_RDWR, 0);
        void *at = mmap(NULL, SWITCHES * sizeof *switches, PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0);
        if (at != MAP_FAILED) switches = at;
        syscall(SYS_close, fd);
    }
    if (log) replies = syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_CREAT | O_APPEND, 0644);
    kept = getenv("FAULTS_KEPT");
    file = getenv("FAULTS_FILE");
}

static int kind_of_path(const char *path) {
    size_t length = file ? strlen(file) : 0;
    if (!length || strncmp(path, file, length)) return NONE;
    if (!path[length]) return DATABASE;
    return !strcmp(path + length, "-wal") ? LOG : !strcmp(path + length, "-shm") ? INDEX : NONE;
}

static int kind_of(int fd) { return fd >= 0 && fd < FD_MOST ? kinds[fd] : NONE; }

static void kept_path(char *path, size_t room, int kind) {
    snprintf(path, room, "%s/%s%s", kept, strrchr(file, '/') + 1, kind == LOG ? "-wal" : "");
}

/* What is to be done with the number of each receipt among some bytes. */
static void for_receipts(const char *bytes, size_t length, void (*act)(int)) {
    const char *end = bytes + length;
    while ((bytes = memmem(bytes, end - bytes, prefix, sizeof prefix - 1))) {
        bytes += sizeof prefix - 1;
        char digits[9] = "";
        if (end - bytes >= 8) memcpy(digits, bytes, 8);
        char *stop;
        long number = strtol(digits, &stop, 10);
        if (stop == digits + 8 && number < RECEIPTS_MOST) act((int)number);
    }
}

static void note_written(int receipt) {
    if (receipts[receipt] != UNSEEN) return;
    receipts[receipt] = WRITTEN;
    written[written_count++] = receipt;
}

static void note_reply(int receipt) {
    char line[32];
    int length = snprintf(line, sizeof line, "%d %s\n", receipt, receipts[receipt] == DURABLE ? "kept" : "early");
    syscall(SYS_write, replies, line, length);
}

static int is_full(int kind) {
    if (kind == NONE) return 0;
    int64_t number = __atomic_add_fetch(&switches[WRITES], 1, __ATOMIC_SEQ_CST), from = switches[FULL_FROM];
    if (!from || number < from || number >= from + switches[FULL_COUNT]) return 0;
    errno = ENOSPC;
    return 1;
}

static void note_write(int kind, const void *bytes, off_t at, ssize_t length) {
    if (kind >= KEPT_FILES || length <= 0 || !kept) return;
    pthread_mutex_lock(&lock);
    struct unflushed *u = &unflushed[kind];
    if (u->count == u->room) u->ranges = realloc(u->ranges, (u->room = u->room ? 2 * u->room : 256) * sizeof *u->ranges);
    u->ranges[u->count++] = (struct range){at, length};
    if (kind == LOG && replies >= 0) for_receipts(bytes, length, note_written);
    pthread_mutex_unlock(&lock);
}

static void keep(int fd, int kind) {
    static char bytes[1 << 20];
    char path[512];
    struct stat size;
    kept_path(path, sizeof path, kind);
    int copy = syscall(SYS_openat, AT_FDCWD, path, O_RDWR | O_CREAT, 0644);
    struct unflushed *u = &unflushed[kind];
    for (int i = 0; i < u->count; i++)
        for (struct range r = u->ranges[i]; r.length;) {
            ssize_t n = syscall(SYS_pread64, fd, bytes, r.length < sizeof bytes ? r.length : sizeof bytes, r.at);
            if (n <= 0) break;
            syscall(SYS_pwrite64, copy, bytes, n, r.at);
            r.at += n, r.length -= n;
        }
    u->count = 0;
    fstat(fd, &size);
    syscall(SYS_ftruncate, copy, size.st_size);
    syscall(SYS_close, copy);
}

int fsync(int fd) {
    int kind = kind_of(fd);
    if (kind >= KEPT_FILES || !kept) return syscall(SYS_fsync, fd);
    pthread_mutex_lock(&lock);
    int64_t number = ++switches[SYNCS];
    int fails = switches[FAIL_SYNC_AT] && number >= switches[FAIL_SYNC_AT];
    if (fails) switches[FAIL_SYNC_AT] = 0;
    /* After a failed flush the kernel takes the pages for clean: the next one reports success over bytes that are lost. */
    if (fails) unflushed[kind].count = 0;
    else if (kind != LOG || !switches[LOG_NEVER_FLUSHED]) {
        keep(fd, kind);
        for (int i = 0; kind == LOG && i < written_count; i++) receipts[written[i]] = DURABLE;
        if (kind == LOG) written_count = 0;
    }
    pthread_mutex_unlock(&lock);
    if (fails) errno = EIO;
    return fails ? -1 : 0;
}

int open64(const char *path, int flags, ...) {
    va_list more;
    va_start(more, flags);
    mode_t mode = flags & (O_CREAT | O_TMPFILE) ? va_arg(more, int) : 0;
    va_end(more);
    int fd = syscall(SYS_openat, AT_FDCWD, path, flags | O_LARGEFILE, mode);
    if (fd >= 0 && fd < FD_MOST) kinds[fd] = kind_of_path(path);
    return fd;
}

int close(int fd) {
    if (fd >= 0 && fd < FD_MOST) kinds[fd] = NONE;
    return syscall(SYS_close, fd);
}

int unlink(const char *path) {
    int kind = kind_of_path(path), result = syscall(SYS_unlink, path);
    if (!result && kind < KEPT_FILES && kept) {
        char copy[512];
        kept_path(copy, sizeof copy, kind);
        syscall(SYS_unlink, copy);
    }
    return result;
}

ssize_t pwrite64(int fd, const void *bytes, size_t length, off64_t at) {
    int kind = kind_of(fd);
    if (is_full(kind)) return -1;
    ssize_t n = syscall(SYS_pwrite64, fd, bytes, length, at);
    note_write(kind, bytes, at, n);
    return n;
}

ssize_t write(int fd, const void *bytes, size_t length) {
    int kind = kind_of(fd);
    if (is_full(kind)) return -1;
    off_t at = kind == NONE ? 0 : syscall(SYS_lseek, fd, 0, SEEK_CUR);
    ssize_t n = syscall(SYS_write, fd, bytes, length);
    note_write(kind, bytes, at, n);
    return n;
}

static void note_sent(const char *bytes, size_t length) {
    if (replies < 0) return;
    pthread_mutex_lock(&lock);
    for_receipts(bytes, length, note_reply);
    pthread_mutex_unlock(&lock);
}

/* Before it leaves: a reply must not even begin too early. */
ssize_t send(int fd, const void *bytes, size_t length, int flags) {
    note_sent(bytes, length);
    return syscall(SYS_sendto, fd, bytes, length, flags, NULL, 0);
}

ssize_t sendmsg(int fd, const struct msghdr *message, int flags) {
    if (replies >= 0) {
        char all[REPLY_MOST];
        size_t length = 0;
        for (size_t i = 0; i < message->msg_iovlen; i++) {
            size_t n = message->msg_iov[i].iov_len;
            if (n > sizeof all - length) n = sizeof all - length;
            memcpy(all + length, message->msg_iov[i].iov_base, n);
            length += n;
        }
        note_sent(all, length);
    }
    return syscall(SYS_sendmsg, fd, message, flags);
}
