using System.Numerics;
using StageView.Ground.Drawings;

namespace StageView.Ground.Tests.Drawings;

/// <summary>Papers of ISO 216: A3 297 × 420 mm, A2 420 × 594, A1 594 × 841.</summary>
public sealed class SheetTests
{
    [Theory]
    [InlineData(4, 3, "A3", 420)]
    [InlineData(3, 14, "A3", 297)]
    [InlineData(24, 15, "A2", 594)]
    [InlineData(34, 24, "A1", 841)]
    public void A_rig_lies_on_the_smallest_paper_that_takes_it_at_one_to_fifty(float width, float height, string paper, float wide)
    {
        var sheet = new Sheet("plan", "plan", new(-width / 2, 0), new(width / 2, height));
        Assert.Equal((paper, wide), (sheet.Paper, sheet.Page.Width));
        Assert.InRange(sheet.Scale, 20, 50);
        foreach (var corner in (Vector2[])[new(-width / 2, 0), new(width / 2, height)])
        {
            var at = sheet.At(corner);
            Assert.InRange(at.X, sheet.RoomLow.X, sheet.RoomHigh.X);
            Assert.InRange(at.Y, sheet.RoomLow.Y, sheet.RoomHigh.Y);
        }
    }

    [Theory]
    [InlineData(4, 3)]
    [InlineData(60, 40)]
    [InlineData(3000, 2000)]
    public void A_metre_is_as_long_on_paper_as_the_scale_says(float width, float height)
    {
        var sheet = new Sheet("plan", "plan", Vector2.Zero, new(width, height));
        Assert.Equal(1000.0 / sheet.Scale, Vector2.Distance(sheet.At(Vector2.Zero), sheet.At(Vector2.UnitX)), .001);
        sheet.Block("rig", "plan", "12 fixtures", "made from files 0badcafe", section: false);
        Assert.Contains(sheet.Page.Shapes, s => s.Text == $"Scale 1:{sheet.Scale} on {sheet.Paper}; 12 fixtures");
    }
}
