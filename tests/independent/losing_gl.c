// A libEGL.so.1, or libGL.so.1 or libGLX.so.0, in front of the machine's own, which loses its context as OpenGL 4.5 (section 2.3.2, "Graphics Reset Recovery";
// GL_KHR_robustness) and EGL 1.5 ("Power Management"; the asking is in section 3.7.1) say that one is lost:
//   after a reset    glGetGraphicsResetStatus tells it, glGetError says CONTEXT_LOST, every other command does nothing, what is
//                    asked is answered with 0 and what is waited for with "done". A context made without the notification
//                    strategy LOSE_CONTEXT_ON_RESET is told nothing at all.
//   after no power   eglMakeCurrent fails with EGL_CONTEXT_LOST, too.
// gcc -shared -fPIC -O1 -o libEGL.so.1 losing_gl.c -ldl -lpthread, and with -DGLX -o libGL.so.1 (libGLX.so.0 from GLFW 3.4 on), what a window of
// GLFW on X11 loads (x86-64 only); the folder goes into LD_LIBRARY_PATH.
//   LOSING_EGL   the machine's own libEGL.so.1, with its path
//   LOSING_GLX   the machine's own libGL.so.1 or libGLX.so.0, with its path
//   LOSING_WHEN  a file: the context is lost when it appears, after no power if it holds a "p"; it is removed then
//   LOSING_READ  1: the context is lost when pixels are read for the first time
#define _GNU_SOURCE
#include <dlfcn.h>
#include <pthread.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

static void *real;
static volatile int lost, powerless, told, tells;
static unsigned char *page;
static size_t used;
enum { stubs = 1 << 16 };

static void *theirs(const char *name) { return dlsym(real, name); }

static void *watch(void *file)
{
    for (;; usleep(5000)) {
        FILE *f = fopen(file, "r");
        if (f) {
            powerless = fgetc(f) == 'p';
            fclose(f);
            unlink(file);
            lost = 1;
        }
    }
    return 0;
}

#ifdef GLX
#define OWN "LOSING_GLX"
#else
#define OWN "LOSING_EGL"
#endif

__attribute__((constructor(200))) static void begin(void)
{
    const char *own = getenv(OWN);
    real = own ? dlopen(own, RTLD_NOW | RTLD_LOCAL) : 0;
    if (!real) {
        fprintf(stderr, "losing_gl: " OWN ": %s\n", own ? dlerror() : "not set");
        _exit(3);
    }
    page = mmap(0, stubs, PROT_READ | PROT_WRITE | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
}

// ---- OpenGL while the context is lost.

static unsigned status(void) { return lost && tells ? 0x8255 /* UNKNOWN_CONTEXT_RESET */ : 0; }
static unsigned (*their_error)(void);
static unsigned error(void) { return !lost ? their_error() : tells ? 0x0507 /* CONTEXT_LOST */ : 0; }
static void (*their_read)(int, int, int, int, unsigned, unsigned, void *);
static void read_pixels(int x, int y, int w, int h, unsigned format, unsigned type, void *into)
{
    if (getenv("LOSING_READ")) lost = 1;
    if (!lost) their_read(x, y, w, h, format, type, into);
}
static void (*their_query)(unsigned, unsigned, unsigned *);
static void query(unsigned id, unsigned what, unsigned *answer) { if (lost) *answer = 1; else their_query(id, what, answer); }
static unsigned (*their_wait)(void *, unsigned, uint64_t);
static unsigned wait_sync(void *sync, unsigned flags, uint64_t time) { return lost ? 0x911A /* ALREADY_SIGNALED */ : their_wait(sync, flags, time); }

// A command: the driver's own until the context is lost, then nothing.
static void *command(void *their)
{
#ifdef __x86_64__
    if (!their || used + 40 > stubs) return their;
    unsigned char *s = page + used, *p = s;
    const volatile int *flag = &lost;
    *p++ = 0x49, *p++ = 0xBB, memcpy(p, &flag, 8), p += 8;                  // mov r11, &lost
    *p++ = 0x41, *p++ = 0x83, *p++ = 0x3B, *p++ = 0x00;                     // cmp dword [r11], 0
    *p++ = 0x75, *p++ = 0x0D;                                               // jne over the next two
    *p++ = 0x49, *p++ = 0xBB, memcpy(p, &their, 8), p += 8;                 // mov r11, their
    *p++ = 0x41, *p++ = 0xFF, *p++ = 0xE3;                                  // jmp r11
    *p++ = 0x31, *p++ = 0xC0, *p++ = 0xC3;                                  // return 0
    used += 40;
    return s;
#else
    return their;
#endif
}

static void *opengl(const char *name, void *their)
{
    if (!strcmp(name, "glGetGraphicsResetStatus")) return (void *)status;
    if (!strcmp(name, "glGetError")) return their_error = their, (void *)error;
    if (!strcmp(name, "glReadPixels")) return their_read = their, (void *)read_pixels;
    if (!strcmp(name, "glGetQueryObjectuiv")) return their_query = their, (void *)query;
    if (!strcmp(name, "glClientWaitSync")) return their_wait = their, (void *)wait_sync;
    return command(their);
}

// The attributes of a context to be made, without the strategy: the rasteriser behind has nothing to lose and may refuse it; here it is granted.
static const int *kept(const int *wanted, int end, int strategy, int loses)
{
    static int rest[64];
    int n = 0;
    tells = 0;
    for (; *wanted != end && n < 60; wanted += 2) {
        if (wanted[0] == strategy) tells = wanted[1] == loses;
        else rest[n++] = wanted[0], rest[n++] = wanted[1];
    }
    rest[n] = end;
    return rest;
}

static void *made(void *context)
{
    const char *file = getenv("LOSING_WHEN");
    pthread_t t;
    if (context && file && !told++) pthread_create(&t, 0, watch, (void *)file);
    return context;
}

#ifdef GLX

// ---- GLX: what is only passed on jumps to the machine's own.

#define PASS(name) \
    static __attribute__((used)) void *own_##name; \
    __attribute__((constructor(201))) static void find_##name(void) { own_##name = theirs(#name); } \
    __attribute__((naked)) void name(void) { __asm__("jmp *own_" #name "(%rip)"); }
PASS(glXGetFBConfigs) PASS(glXGetFBConfigAttrib) PASS(glXGetClientString) PASS(glXQueryExtension) PASS(glXQueryVersion) PASS(glXDestroyContext)
PASS(glXMakeCurrent) PASS(glXSwapBuffers) PASS(glXCreateNewContext) PASS(glXCreateWindow) PASS(glXDestroyWindow)
PASS(glXGetVisualFromFBConfig)

const char *glXQueryExtensionsString(void *display, int screen)
{
    static char all[1 << 14];
    snprintf(all, sizeof all, "%s GLX_ARB_create_context_robustness", ((const char *(*)(void *, int))theirs("glXQueryExtensionsString"))(display, screen));
    return all;
}

static void *(*their_create)(void *, void *, void *, int, const int *);
static void *create(void *display, void *config, void *share, int direct, const int *wanted)
{
    return made(their_create(display, config, share, direct, kept(wanted, 0, 0x8256, 0x8252)));
}

void *glXGetProcAddressARB(const char *name)
{
    void *their = ((void *(*)(const char *))theirs("glXGetProcAddressARB"))(name);
    if (!strcmp(name, "glXCreateContextAttribsARB")) return their_create = their, (void *)create;
    return strncmp(name, "glX", 3) ? opengl(name, their) : their;
}

void *glXGetProcAddress(const char *name) { return glXGetProcAddressARB(name); }

#else

// ---- EGL.

void *eglGetProcAddress(const char *name)
{
    void *their = ((void *(*)(const char *))theirs("eglGetProcAddress"))(name);
    return strncmp(name, "egl", 3) ? opengl(name, their) : their;
}

void *eglCreateContext(void *display, void *config, void *share, const int *wanted)
{
    return made(((void *(*)(void *, void *, void *, const int *))theirs("eglCreateContext"))(display, config, share, kept(wanted, 0x3038, 0x31BD, 0x31BF)));
}

unsigned eglMakeCurrent(void *display, void *draw, void *read, void *context)
{
    if (lost && powerless && context) return 0;
    return ((unsigned (*)(void *, void *, void *, void *))theirs("eglMakeCurrent"))(display, draw, read, context);
}

int eglGetError(void) { return lost && powerless ? 0x300E : ((int (*)(void))theirs("eglGetError"))(); }
const char *eglQueryString(void *display, int name) { return ((const char *(*)(void *, int))theirs("eglQueryString"))(display, name); }
unsigned eglInitialize(void *display, int *major, int *minor) { return ((unsigned (*)(void *, int *, int *))theirs("eglInitialize"))(display, major, minor); }
unsigned eglBindAPI(unsigned api) { return ((unsigned (*)(unsigned))theirs("eglBindAPI"))(api); }
unsigned eglDestroyContext(void *display, void *context) { return ((unsigned (*)(void *, void *))theirs("eglDestroyContext"))(display, context); }
#endif
