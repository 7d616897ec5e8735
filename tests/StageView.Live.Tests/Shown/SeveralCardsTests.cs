using System.Numerics;
using StageView.Live.Shown;

namespace StageView.Live.Tests.Shown;

public sealed class SeveralCardsTests
{
    // CIE 15 and ITU-R BT.709: the white point D65, x .3127 and y .3290, lies at u' .1978, v' .4683; BT.709's red, .64 and .33, at .4507, .5229.
    [Theory]
    [InlineData(.3127f, .3290f, .1978f, .4683f)]
    [InlineData(.64f, .33f, .4507f, .5229f)]
    public void The_uniform_scale_has_its_published_points(float x, float y, float u, float v)
    {
        var found = SeveralCards.Ucs(new Vector2(x, y));
        Assert.Equal(u, found.X, .0001f);
        Assert.Equal(v, found.Y, .0001f);
    }
}
