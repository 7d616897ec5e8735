namespace StageView.Snapshot.Tests;

public sealed class SmokeTests
{
    [Fact]
    public void One_is_one() => Assert.Equal(1, 1);
}
