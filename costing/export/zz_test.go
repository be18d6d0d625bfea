package export_test
import ("testing";"os";"fmt";"kerfbook/costing/export/recalctest";"kerfbook/costing/graph/graphtest")
func TestZZ(t *testing.T){ for _,n:=range []int{100,150,200,300,400}{ _,d:=file(t,graphtest.Random(0,n),nil); d,_=recalctest.Strip(d); os.WriteFile(fmt.Sprintf("/tmp/wb/r%d.xlsx",n),d,0o644)}}
