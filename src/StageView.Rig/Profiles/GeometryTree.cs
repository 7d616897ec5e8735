namespace StageView.Rig.Profiles;

/// <summary>A mode's geometry with the copies of each repeated part.</summary>
internal sealed record GeometryTree(IReadOnlyList<GeometryNode> Nodes, IReadOnlyDictionary<string, IReadOnlyList<int>> Copies)
{
    public int IndexOf(string name)
    {
        for (var i = 0; i < Nodes.Count; i++)
        {
            if (Nodes[i].Name == name)
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>Whether a node is, or lies below, another.</summary>
    public bool Within(int node, int ancestor)
    {
        for (var i = node; i >= 0; i = Nodes[i].Parent)
        {
            if (i == ancestor)
            {
                return true;
            }
        }

        return false;
    }
}
