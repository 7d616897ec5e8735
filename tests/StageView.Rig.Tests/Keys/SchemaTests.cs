using System.Text.Json;
using StageView.Rig.Scene;

namespace StageView.Rig.Tests.Keys;

public sealed class SchemaTests
{
    /// <summary>Run with STAGEVIEW_WRITE_SCHEMA=1 to write the files anew after a key was added.</summary>
    [Fact]
    public void Committed_schemas_are_those_of_the_key_tables()
    {
        foreach (var name in SchemaFiles.Names)
        {
            var path = Repo.File("assets", "schema", name);
            var made = SchemaFiles.Write(name);
            if (Environment.GetEnvironmentVariable("STAGEVIEW_WRITE_SCHEMA") == "1")
            {
                File.WriteAllText(path, made);
            }

            Assert.True(File.Exists(path), $"{path} is missing: run this test with STAGEVIEW_WRITE_SCHEMA=1");
            Assert.Equal(made, File.ReadAllText(path));
        }
    }

    [Theory]
    [InlineData("rig.schema.json")]
    [InlineData("fixture.schema.json")]
    [InlineData("venue.schema.json")]
    public void Every_key_is_described(string name)
    {
        var keys = 0;
        void Walk(JsonElement e, string at)
        {
            if (e.ValueKind == JsonValueKind.Array)
            {
                foreach (var item in e.EnumerateArray())
                {
                    Walk(item, at);
                }
            }

            if (e.ValueKind != JsonValueKind.Object)
            {
                return;
            }

            if (e.TryGetProperty("properties", out var properties) && properties.ValueKind == JsonValueKind.Object)
            {
                foreach (var p in properties.EnumerateObject())
                {
                    Assert.True(p.Value.TryGetProperty("description", out var text) && text.GetString() is { Length: > 10 }, $"{at}.{p.Name}");
                    keys++;
                }
            }

            foreach (var p in e.EnumerateObject())
            {
                Walk(p.Value, $"{at}.{p.Name}");
            }
        }

        using var schema = JsonDocument.Parse(SchemaFiles.Write(name));
        Walk(schema.RootElement, name);
        Assert.True(keys > 30, $"{keys} keys");
    }
}
