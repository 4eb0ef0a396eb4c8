package scaling

import (
	"syscall"
	"time"
	"unsafe"
)

// now is the time that this thread has worked, so that a busy machine does little harm. The caller is locked to its
// thread.
func now() time.Duration {
	const threadTime = 3 // CLOCK_THREAD_CPUTIME_ID, see clock_gettime(2)
	var t syscall.Timespec
	if _, _, fault := syscall.RawSyscall(syscall.SYS_CLOCK_GETTIME, threadTime, uintptr(unsafe.Pointer(&t)), 0); fault != 0 {
		panic(fault)
	}
	return time.Duration(t.Nano())
}
