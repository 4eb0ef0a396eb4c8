package db

// MigrateTo stops at a historical version of the schema.
var MigrateTo = migrateTo

// MigrationCount is the number of migrations.
var MigrationCount = migrationCount

// PublishLock is the number of the lock of the publishers.
const PublishLock = publishLock
