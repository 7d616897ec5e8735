using System.Globalization;
using System.Numerics;
using System.Xml.Linq;
using StageView.Ground.Drawings;

namespace StageView.Ground.Tests.Drawings;

/// <summary>Attributes as Scalable Vector Graphics (SVG) 1.1, W3C, 2011, has them; the clause stands beside each check.</summary>
public sealed class SvgWriterTests
{
    private static readonly XNamespace s_svg = "http://www.w3.org/2000/svg";
    private readonly Drawing _page = new("plan", "plan <&> \"section\"", 420, 297);

    private XElement Written => XDocument.Parse(SvgWriter.Write(_page)).Root!;

    [Fact]
    public void A_user_unit_is_a_millimetre()
    {
        // 7.10 and 7.7: a width with a unit, and a view box of as many user units.
        Assert.Equal(s_svg + "svg", Written.Name);
        Assert.Equal(("420mm", "297mm", "0 0 420 297"),
            ((string)Written.Attribute("width")!, (string)Written.Attribute("height")!, (string)Written.Attribute("viewBox")!));
        Assert.Equal("plan <&> \"section\"", Written.Element(s_svg + "title")!.Value);
    }

    [Fact]
    public void Lines_are_open_and_areas_closed_with_grey_inside_and_around()
    {
        _page.Line(new(1, 2), new(3.456f, 4), .25f, .5f);
        _page.Area([new(0, 0), new(10, 0), new(10, 5)], .18f, 0, 1);
        _page.Area([new(0, 0), new(10, 0), new(10, 5)], 0, 0, .2f);
        var line = Written.Element(s_svg + "polyline")!;

        // 9.6, 9.7: points; 11.3, 11.4: fill and stroke.
        Assert.Equal(("1,2 3.46,4", "none", "#808080", "0.25"),
            ((string)line.Attribute("points")!, (string)line.Attribute("fill")!, (string)line.Attribute("stroke")!, (string)line.Attribute("stroke-width")!));
        var areas = Written.Elements(s_svg + "polygon").ToList();
        Assert.Equal(["0,0 10,0 10,5", "0,0 10,0 10,5"], areas.Select(a => (string)a.Attribute("points")!));
        Assert.Equal(["#ffffff", "#333333"], areas.Select(a => (string)a.Attribute("fill")!));
        Assert.Equal(["#000000", null], areas.Select(a => (string?)a.Attribute("stroke")));
    }

    [Fact]
    public void A_hollow_is_an_outline_of_the_same_path_by_the_even_odd_rule()
    {
        _page.Area([new(0, 0), new(9, 0), new(9, 9)], fill: .5f, more: [[new(6, 1), new(8, 1), new(8, 3)]]);
        var path = Written.Element(s_svg + "path")!;

        // 8.3: M, L and Z; 11.3: fill-rule.
        Assert.Equal(("M0,0L9,0L9,9ZM6,1L8,1L8,3Z", "evenodd"), ((string)path.Attribute("d")!, (string)path.Attribute("fill-rule")!));
    }

    [Fact]
    public void Text_is_escaped_and_a_centred_one_keeps_the_width_it_was_placed_with()
    {
        _page.Write(new(5, 6), "<b> & \"é\" 灯", 3);
        _page.Write(new(7, 8), "101-103", 2.5f, centred: true);
        var texts = Written.Elements(s_svg + "text").ToList();
        Assert.Equal(["<b> & \"é\" 灯", "101-103"], texts.Select(t => t.Value));
        Assert.Null(texts[0].Attribute("text-anchor"));
        Assert.Equal(("5", "6", "3"), ((string)texts[0].Attribute("x")!, (string)texts[0].Attribute("y")!, (string)texts[0].Attribute("font-size")!));

        // 10.9.1 and 10.5: text-anchor, textLength.
        Assert.Equal("middle", (string)texts[1].Attribute("text-anchor")!);
        Assert.Equal(PageLabels.WidthOf("101-103", 2.5f), float.Parse((string)texts[1].Attribute("textLength")!, CultureInfo.InvariantCulture), .01);
    }

    [Fact]
    public void A_circle_is_closed_and_every_corner_lies_on_it()
    {
        _page.Circle(new(50, 60), 7);
        var points = ((string)Written.Element(s_svg + "polygon")!.Attribute("points")!).Split(' ')
            .Select(p => p.Split(',')).Select(
                p => new Vector2(float.Parse(p[0], CultureInfo.InvariantCulture), float.Parse(p[1], CultureInfo.InvariantCulture)));
        Assert.All(points, p => Assert.Equal(7, Vector2.Distance(p, new(50, 60)), .02));
    }
}
