using System.Text.Json;
using StageView.Live.Server;

namespace StageView.Live.Tests.Server;

/// <summary>What of a state is sent. Expected operations: RFC 6902, appendix A (JSON Patch), and RFC 6901, section 5 (JSON Pointer).</summary>
public sealed class StateChangesTests
{
    [Theory]
    [InlineData("""{"foo":"bar"}""", """{"baz":"qux","foo":"bar"}""", """[{"op":"add","path":"/baz","value":"qux"}]""")] // A.1
    [InlineData("""{"baz":"qux","foo":"bar"}""", """{"foo":"bar"}""", """[{"op":"remove","path":"/baz"}]""")] // A.3
    [InlineData("""{"baz":"qux","foo":"bar"}""", """{"baz":"boo","foo":"bar"}""", """[{"op":"replace","path":"/baz","value":"boo"}]""")] // A.5
    [InlineData("""{"foo":"bar"}""", """{"foo":"bar","child":{"grandchild":{}}}""", """[{"op":"add","path":"/child","value":{"grandchild":{}}}]""")] // A.10
    [InlineData("""{"/":9,"~1":10}""", """{"/":9,"~1":11}""", """[{"op":"replace","path":"/~01","value":11}]""")] // A.14
    [InlineData("""{"a/b":1,"m~n":8}""", """{"a/b":2,"m~n":9}""",
        """[{"op":"replace","path":"/a~1b","value":2},{"op":"replace","path":"/m~0n","value":9}]""")] // RFC 6901, section 5
    [InlineData("""{"a":[{"x":1,"text":"as long as an operation is, and longer"},{"x":2}]}""",
        """{"a":[{"x":1,"text":"as long as an operation is, and longer"},{"x":3}]}""", """[{"op":"replace","path":"/a/1/x","value":3}]""")]
    [InlineData("""{"a":[1,2,3]}""", """{"a":[4,5,6]}""", """[{"op":"replace","path":"/a","value":[4,5,6]}]""")] // shorter than three operations
    [InlineData("""{"a":[1]}""", """{"a":[1,2]}""", """[{"op":"replace","path":"/a","value":[1,2]}]""")]
    [InlineData("""{"a":[1,{"b":[]}]}""", """{"a":[1,{"b":[]}]}""", "[]")]
    public void What_differs_between_two_states_is_told_by_the_standards_operations(string a, string b, string patch) =>
        Assert.Equal(patch, JsonSerializer.Serialize(StateChanges.Between(Json(a), Json(b)), StageView.Live.Terms.LiveJson.Options));

    [Fact]
    public void A_state_is_told_whole_once_and_whenever_its_changes_would_be_longer()
    {
        const string same = "a few words that stay as they are, and some more";
        var told = new StateChanges();
        Assert.Equal($$$"""{"t":"state","state":{"seconds":1,"words":"{{{same}}}"}}""", Next(1, same));
        Assert.Equal("""{"t":"changes","patch":[{"op":"replace","path":"/seconds","value":2}]}""", Next(2, same));
        Assert.Equal("""{"t":"changes","patch":[]}""", Next(2, same));
        Assert.Equal("""{"t":"state","state":{"seconds":3,"words":"other"}}""", Next(3, "other"));

        string Next(int seconds, string words) => System.Text.Encoding.UTF8.GetString(told.Next(new { seconds, words }));
    }

    private static JsonElement Json(string text) => JsonSerializer.Deserialize<JsonElement>(text);
}
