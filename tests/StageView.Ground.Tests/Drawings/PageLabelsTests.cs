using System.Globalization;
using System.Numerics;
using StageView.Ground.Drawings;

namespace StageView.Ground.Tests.Drawings;

public sealed class PageLabelsTests
{
    private const float Size = 2.5f;
    private readonly Drawing _page = new("plan", "plan", 420, 297);
    private readonly PageLabels _placer = new(Vector2.Zero, new(420, 297), Size);

    [Fact]
    public void A_label_stands_under_what_it_names_and_over_it_where_something_lies_below()
    {
        Place("101", new(100, 100), new(104, 104));
        _placer.Occupy(new(195, 104.2f), new(210, 112));
        Place("102", new(200, 100), new(204, 104));
        Assert.True(Texts("101").Low.Y > 104);
        Assert.True(Texts("102").High.Y < 100);
        Assert.Empty(Leaders);
    }

    [Fact]
    public void Asked_for_it_stands_at_the_left()
    {
        _placer.Place(_page, "7", new(100, 100), new(104, 104), left: true);
        Assert.True(Texts("7").High.X < 100);
    }

    [Fact]
    public void Where_all_around_is_taken_a_leader_leads_to_it()
    {
        _placer.Occupy(new(100, 100), new(104, 104));
        _placer.Occupy(new(92, 94), new(112, 100));
        _placer.Occupy(new(92, 104), new(112, 110));
        _placer.Occupy(new(92, 100), new(100, 104));
        _placer.Occupy(new(104, 100), new(112, 104));
        Place("101", new(100, 100), new(104, 104));
        var (from, to) = Assert.Single(Leaders);
        Assert.InRange(to.X, 100, 104);
        Assert.InRange(to.Y, 100, 104);
        var label = Texts("101");
        Assert.InRange(from.X, label.Low.X - 1, label.High.X + 1);
        Assert.Equal(0, _placer.Crowded);
    }

    [Fact]
    public void Two_hundred_labels_keep_apart_stay_on_the_page_and_no_leader_crosses_another_or_a_label()
    {
        var random = new Random(3);
        for (var i = 0; i < 200; i++)
        {
            var at = new Vector2(20 + (random.NextSingle() * 380), 20 + (random.NextSingle() * 250));
            _placer.Occupy(at, at + new Vector2(3));
            Place((101 + i).ToString(CultureInfo.InvariantCulture), at, at + new Vector2(3));
        }

        Assert.Equal(0, _placer.Crowded);
        var boxes = Enumerable.Range(101, 200).Select(n => Texts(n.ToString(CultureInfo.InvariantCulture))).ToList();
        Assert.All(boxes, b => Assert.True(b.Low.X >= 0 && b.Low.Y >= 0 && b.High.X <= 420 && b.High.Y <= 297));
        for (var i = 0; i < boxes.Count; i++)
        {
            for (var k = 0; k < i; k++)
            {
                var (a, b) = (boxes[i], boxes[k]);
                Assert.False(a.Low.X < b.High.X && a.High.X > b.Low.X && a.Low.Y < b.High.Y && a.High.Y > b.Low.Y, $"{101 + i} lies on {101 + k}");
            }
        }

        var leaders = Leaders.ToList();
        for (var i = 0; i < leaders.Count; i++)
        {
            for (var k = 0; k < i; k++)
            {
                Assert.False(Cross(leaders[i], leaders[k]), $"leaders {i} and {k} cross");
            }
        }
    }

    [Fact]
    public void What_finds_no_room_is_counted_and_still_written()
    {
        var tight = new PageLabels(new(0, 0), new(8, 8), Size);
        for (var i = 0; i < 3; i++)
        {
            tight.Place(_page, "1234", new(3, 2.5f), new(5, 4.5f));
        }

        Assert.Equal(2, tight.Crowded);
        Assert.Equal(3, _page.Shapes.Count(s => s.Text == "1234"));
    }

    /// <summary>
    /// Advance widths of Helvetica in thousandths of its height, from memory of Adobe's published font metrics: digits 556, hyphen 333, space 278, A 667, m
    /// 833.
    /// </summary>
    [Theory]
    [InlineData("101-103 107", (9 * .556) + .333 + .278)]
    [InlineData("0123456789", 5.56)]
    [InlineData("AA", 1.334)]
    public void Widths_are_those_of_Helvetica_within_a_few_per_cent(string text, double width) =>
        Assert.InRange(PageLabels.WidthOf(text, 2) / (2 * width), .95, 1.05);

    private IEnumerable<(Vector2 From, Vector2 To)> Leaders =>
        _page.Shapes.Where(s => !s.Closed && s.Points.Length == 2).Select(s => (s.Points[0], s.Points[1]));

    private void Place(string text, Vector2 low, Vector2 high) => _placer.Place(_page, text, low, high);

    /// <summary>Where the digits themselves lie: cap height .7 of the size over the base line.</summary>
    private (Vector2 Low, Vector2 High) Texts(string text)
    {
        var shape = Assert.Single(_page.Shapes, s => s.Text == text);
        var half = PageLabels.WidthOf(text, Size) / 2;
        return (shape.Points[0] - new Vector2(half, .7f * Size), shape.Points[0] + new Vector2(half, 0));
    }

    private static bool Cross((Vector2 From, Vector2 To) a, (Vector2 From, Vector2 To) b)
    {
        static float Side(Vector2 o, Vector2 p, Vector2 q) => ((p.X - o.X) * (q.Y - o.Y)) - ((p.Y - o.Y) * (q.X - o.X));
        return Side(a.From, a.To, b.From) * Side(a.From, a.To, b.To) < 0 && Side(b.From, b.To, a.From) * Side(b.From, b.To, a.To) < 0;
    }
}
