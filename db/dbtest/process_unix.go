//go:build unix && !linux

package dbtest

import "syscall"

// attributes makes a program run as the account. Only Linux ties a program to a thread.
func attributes(as *account, _ bool) *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{Setpgid: true}
	if as != nil {
		attr.Credential = &syscall.Credential{Uid: as.uid, Gid: as.gid}
	}
	return attr
}
