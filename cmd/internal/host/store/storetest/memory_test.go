package storetest_test

import (
	"testing"

	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/storetest"
)

func TestMemory(t *testing.T) {
	m := storetest.NewMemory()
	storetest.Run(t, func(*testing.T) store.Store { return m })
}
