package dbtest

import "syscall"

// attributes makes a program run as the account. One that is tied ends with the thread that starts it, and so with the
// tests even when they are killed.
func attributes(as *account, tied bool) *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{Setpgid: true}
	if tied {
		attr.Pdeathsig = syscall.SIGQUIT
	}
	if as != nil {
		attr.Credential = &syscall.Credential{Uid: as.uid, Gid: as.gid}
	}
	return attr
}
